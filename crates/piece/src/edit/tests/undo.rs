//! Every edit is undone and redone, one by one and many after another.

use proptest::prelude::*;

use super::*;

/// One of every edit that can be made to the sample piece, with its label.
fn every_edit() -> Vec<(Edit, &'static str)> {
    let on = Surface::Part(PartId(3));
    let fidelity = Fidelity { same_exposure: false, same_grit: true, same_stripping: true };
    let changed_board = Board { id: BoardId(1), fidelity, ..board("offcut", PartId(2)) };
    let typed = reading(on, State::BareDry);
    let measured = Reading { source: Source::Instrument { name: "meter".into() }, ..*typed.clone() };
    let region = Region::whole(vec![[0.0, 0.0], [5.0, 0.0], [5.0, 5.0]]);
    let drawn = Reading { source: Source::Photo { photo: PhotoId(1), region, method: "m".into() }, ..*typed.clone() };
    let moved = Reading { id: ReadingId(8), ..drawn.clone() };
    let joint = Joint { a: PartId(2), b: PartId(1), meeting: Meeting::OtherPlanes };
    let spare = crate::Photo { id: PhotoId(1), ..photo("photos/other.jpg") };
    vec![
        (Edit::Piece(PieceEdit::Rename("Other".into())), "rename piece"),
        (Edit::Piece(PieceEdit::Note("n".into())), "write note"),
        (Edit::Piece(PieceEdit::Invented(false)), "say whether data are invented"),
        (Edit::Part(PartEdit::Add(part("door"))), "add part"),
        (Edit::Part(PartEdit::Rename(PartId(1), "lid".into())), "rename part"),
        (Edit::Part(PartEdit::Change(Part { id: PartId(3), ..part("frame") })), "change part"),
        (Edit::Part(PartEdit::Move(PartId(1), 99)), "move part"),
        (Edit::Part(PartEdit::Remove(PartId(2))), "remove part"),
        (Edit::Joint(JointEdit::Set(joint)), "set how parts meet"),
        (Edit::Joint(JointEdit::Remove(PartId(2), PartId(1))), "remove joint"),
        (Edit::Board(BoardEdit::Add(board("panel", PartId(3)))), "add board"),
        (Edit::Board(BoardEdit::Change(changed_board)), "change board"),
        (Edit::Product(ProductEdit::Add(product("new", Kind::Gel))), "add product"),
        (Edit::Product(ProductEdit::Change(Product { id: ProductId(4), ..product("g", Kind::Gel) })), "change product"),
        (Edit::Product(ProductEdit::Remove(ProductId(5))), "remove product"),
        (Edit::Photo(PhotoEdit::Add(photo("photos/wet.jpg"))), "add photo"),
        (Edit::Photo(PhotoEdit::Change(spare)), "change photo"),
        (Edit::Photo(PhotoEdit::PlaceCorners(PhotoId(1), Some([[1.0; 2]; 4]))), "place corners"),
        (Edit::Photo(PhotoEdit::PlaceCorners(PhotoId(1), None)), "find the card again"),
        (Edit::Reading(ReadingEdit::Add(typed)), "type reading"),
        (Edit::Reading(ReadingEdit::Add(Box::new(measured))), "add instrument reading"),
        (Edit::Reading(ReadingEdit::Add(Box::new(drawn))), "draw region"),
        (Edit::Reading(ReadingEdit::Change(Box::new(moved))), "change reading"),
        (Edit::Reading(ReadingEdit::Remove(ReadingId(8))), "remove reading"),
        (Edit::Trial(TrialEdit::Log(trial(on, vec![Step::Seal]))), "log trial"),
        (
            Edit::Trial(TrialEdit::Change(crate::Trial { id: TrialId(2), ..trial(on, vec![Step::Seal]) })),
            "change trial",
        ),
        (Edit::Trial(TrialEdit::Detach(TrialId(1), ReadingId(4))), "detach reading"),
        (Edit::Trial(TrialEdit::Remove(TrialId(1))), "remove trial"),
        (Edit::Target(TargetEdit::Match(MatchSample::AllAlike)), "choose match sample"),
        (Edit::Target(TargetEdit::Tolerances(Tolerances::default())), "set tolerances"),
        (Edit::Target(TargetEdit::Topcoat(None)), "name topcoat"),
        (Edit::Target(TargetEdit::Plan(None)), "drop plan"),
        (Edit::Target(TargetEdit::Plan(Some(Plan { name: "x".into(), schedules: vec![] }))), "settle on plan"),
        (
            Edit::Together { label: "two at once".into(), edits: vec![Edit::Trial(TrialEdit::Remove(TrialId(2)))] },
            "two at once",
        ),
    ]
}

#[test]
fn every_edit_can_be_undone_and_redone_by_name() {
    for (edit, label) in every_edit() {
        assert_eq!(edit.label(), label);
        let mut history = History::opened(piece());
        let before = history.piece().clone();
        history.apply(&edit).unwrap_or_else(|error| panic!("{label}: {error}"));
        let after = history.piece().clone();
        assert_ne!(before, after, "{label} changes nothing");
        assert!(history.is_dirty(), "{label}");
        assert_eq!(history.undo().as_deref(), Some(label));
        assert_eq!(*history.piece(), before, "{label}");
        assert!(!history.is_dirty(), "{label}");
        assert_eq!(history.redo().as_deref(), Some(label));
        assert_eq!(*history.piece(), after, "{label}");
    }
}

proptest! {
    /// Any edits one after another: undone all, the piece is as it was; redone all, as it became; what was applied
    /// can be written and read again as the same.
    #[test]
    fn undoing_all_gives_back_what_was(picks in prop::collection::vec(any::<prop::sample::Index>(), 1..25)) {
        let edits = every_edit();
        let start = piece();
        let mut history = History::opened(start.clone());
        let mut seen = Vec::new();
        for pick in picks {
            let (edit, _) = &edits[pick.index(edits.len())];
            let before = history.piece().clone();
            if history.apply(edit).is_err() {
                prop_assert_eq!(history.piece(), &before);
            } else if *history.piece() != before {
                seen.push(before);
            }
        }
        let end = history.piece().clone();
        let text = crate::file::write(&end, &crate::file::Extras::default()).unwrap();
        prop_assert_eq!(&crate::file::read(&text).unwrap().0, &*end);
        for before in seen.iter().rev() {
            prop_assert!(history.undo().is_some());
            prop_assert_eq!(history.piece(), before);
        }
        prop_assert!(history.undo().is_none());
        prop_assert_eq!(&**history.piece(), &start);
        while history.redo().is_some() {}
        prop_assert_eq!(history.piece(), &end);
    }
}
