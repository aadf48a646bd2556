//! Merging is counted, never doubles, and tells products apart by name and kind.

use colour::Lab;

use super::*;
use crate::{Kind, PastSource, sample};

fn product(id: u32, name: &str, kind: Kind) -> Arc<Product> {
    Arc::new(Product { id: ProductId(id), ..sample::product(name, kind) })
}

fn past(piece: &str, trial: &str, product: u32, l_after: f64) -> PastUse {
    PastUse {
        step: Step::Stain { product: ProductId(product), reducer_parts: 1.0, coats: 1, wipe_minutes: None },
        wood: "oak".into(),
        before: Lab::new(70.0, 6.0, 20.0),
        after: Lab::new(l_after, 9.0, 24.0),
        covariance: sample::COVARIANCE,
        lot: String::new(),
        source: PastSource { piece: piece.into(), trial: trial.into(), stage: 0 },
        made: String::new(),
    }
}

#[test]
fn the_same_use_is_kept_once_and_its_newer_account_stands() {
    let mut book = Book::default();
    let walnut = product(7, "Walnut stain", Kind::Pigment);
    let uses = [past("chest", "t1", 7, 50.0), past("chest", "t2", 7, 55.0)];
    assert_eq!(book.merge(std::slice::from_ref(&walnut), &uses), Merged { products: 1, uses: 2, renewed: 0 });
    assert_eq!(book.merge(std::slice::from_ref(&walnut), &uses), Merged::default());
    assert_eq!(book.merge(&[walnut], &[past("chest", "t2", 7, 54.0)]), Merged { products: 0, uses: 0, renewed: 1 });
    assert_eq!(book.uses.len(), 2);
    assert!((book.uses[1].after.l - 54.0).abs() < 1e-12);
}

#[test]
fn products_are_the_same_by_name_and_kind_and_get_the_ids_of_the_piece() {
    let mut book = Book::default();
    book.merge(&[product(7, "Walnut stain", Kind::Pigment)], &[past("chest", "t1", 7, 50.0)]);
    book.merge(&[product(2, " walnut STAIN ", Kind::Pigment)], &[past("desk", "t1", 2, 51.0)]);
    book.merge(&[product(2, "walnut stain", Kind::Gel)], &[past("bed", "t1", 2, 60.0)]);
    assert_eq!(book.products.len(), 2);
    let mut piece = Piece { name: "desk".into(), ..Piece::default() };
    piece.products.push(product(31, "walnut stain", Kind::Pigment));
    let uses = book.uses_for(&piece);
    let told: Vec<_> = uses.iter().map(|one| (one.source.piece.as_str(), valid::product_of(&one.step))).collect();
    assert_eq!(told, [("chest", Some(ProductId(31)))], "not the gel, and not its own trial");
}

#[test]
fn what_is_not_used_is_not_taken_in() {
    let mut book = Book::default();
    let merged = book.merge(&[product(1, "wax", Kind::Filler)], &[]);
    assert_eq!((merged, book), (Merged::default(), Book::default()));
}

#[test]
fn what_was_taken_up_goes_with_its_product_and_must_make_sense() {
    use crate::{Edit, Error, ProductEdit, apply};
    let add = |kind| Edit::Product(ProductEdit::Add(Product::clone(&product(0, "walnut stain", kind))));
    let piece = apply(&Piece::default(), &add(Kind::Pigment)).unwrap();
    let id = piece.products[0].id.0;
    let take_up = |uses| apply(&piece, &Edit::Product(ProductEdit::TakeUp(uses)));
    let taken = take_up(vec![past("chest", "t1", id, 50.0)]).unwrap();
    assert_eq!(taken.past.len(), 1);
    let removed = apply(&taken, &Edit::Product(ProductEdit::Remove(piece.products[0].id))).unwrap();
    assert!(removed.past.is_empty());
    assert!(matches!(take_up(vec![past("chest", "t1", id + 1, 50.0)]), Err(Error::NoSuch { .. })));
    assert!(take_up(vec![past("chest", "t1", id, 150.0)]).unwrap_err().to_string().contains("L* after is 150"));
}
