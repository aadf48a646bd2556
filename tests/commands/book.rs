//! The shop book by its command.

use std::fs;

use crate::{demo_folder, refused, run, schema::keeps_to};

/// A copy of the oak chest that passes for a real piece, and a place for a book.
fn real_piece() -> (tempfile::TempDir, String, String) {
    let folder = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(format!("{}/piece.json", demo_folder("oak-chest"))).unwrap();
    let real = text.replacen("\"invented\": true", "\"invented\": false", 1);
    assert_ne!(text, real);
    let piece = folder.path().join("chest");
    fs::create_dir(&piece).unwrap();
    fs::write(piece.join("piece.json"), real).unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (piece, book) = (path("chest"), path("shop-book.json"));
    (folder, piece, book)
}

#[test]
fn a_piece_is_entered_once_listed_and_taken_up_elsewhere() {
    let (folder, piece, book) = real_piece();
    let first = run(&["book", &book, "--enter", &piece], "");
    assert_eq!(first.code, 0, "{}", first.errors);
    assert!(!first.output.contains(": 0 new uses"), "{}", first.output);
    let again = run(&["book", &book, "--enter", &piece], "");
    assert!(again.output.contains(": 0 new uses, 0 renewed, 0 new products"), "{}", again.output);

    let known = keeps_to("book", &run(&["book", &book, "--json"], "").output);
    let products = known["products"].as_array().unwrap();
    assert!(products.iter().any(|product| product["name"] == "bleaches" && product["uses"].as_u64() > Some(0)));
    let listed = run(&["book", &book], "").output;
    assert!(products.iter().all(|product| listed.contains(product["name"].as_str().unwrap())), "{listed}");

    // Its own trials are no past to it; to another piece they are.
    let own = run(&["book", &book, "--take-up", &piece], "");
    assert!(own.output.contains(": 0 uses on earlier pieces taken up"), "{}{}", own.output, own.errors);
    let other = folder.path().join("other");
    fs::create_dir(&other).unwrap();
    let text = fs::read_to_string(format!("{piece}/piece.json")).unwrap();
    let name = serde_json::from_str::<serde_json::Value>(&text).unwrap()["name"].as_str().unwrap().to_owned();
    fs::write(other.join("piece.json"), text.replacen(&name, "another chest", 1)).unwrap();
    let other = other.display().to_string();
    let taken = run(&["book", &book, "--take-up", &other], "");
    assert!(taken.code == 0 && !taken.output.contains(": 0 uses"), "{}{}", taken.output, taken.errors);
    keeps_to("piece", &fs::read_to_string(format!("{other}/piece.json")).unwrap());
    assert_eq!(run(&["check", &other], "").output.matches("past use").count(), 0);

    refused(&run(&["book", &book, "--merge", &book], ""), &["shop-book.json", "nothing to merge"]);
    let merged = run(&["book", &format!("{book}.2.json"), "--merge", &book], "");
    assert!(merged.code == 0 && !merged.output.contains(": 0 new uses"), "{}{}", merged.output, merged.errors);
}

#[test]
fn what_is_no_book_or_does_not_belong_into_one_is_told_in_one_line() {
    let (folder, piece, book) = real_piece();
    refused(&run(&["book", &book], ""), &["shop-book.json", "there is no shop book here"]);
    refused(&run(&["book", &book, "--take-up", &piece], ""), &["there is no shop book here"]);
    refused(
        &run(&["book", &book, "--enter", &demo_folder("oak-chest")], ""),
        &["invented", "shop book", "copy the folder"],
    );
    assert!(!std::path::Path::new(&book).exists(), "nothing is begun by what is refused");
    fs::write(&book, "{\"version\": 1}").unwrap();
    refused(&run(&["book", &book], ""), &["this is not the file of a shop book"]);
    refused(&run(&["book", &book, "--enter", &piece], ""), &["this is not the file of a shop book"]);
    assert_eq!(fs::read_to_string(&book).unwrap(), "{\"version\": 1}");
    refused(&run(&["book", &book, "--enter", &piece, "--merge", &book], ""), &["cannot be used with"]);
    drop(folder);
}
