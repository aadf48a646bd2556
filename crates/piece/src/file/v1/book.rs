//! Version 1 of the shop book's file.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::past::PastRecord;
use super::{product::ProductRecord, records, shared};
use crate::{Book, Error, ProductId, file::file_error, valid};

/// The file, in the order of its keys.
#[derive(Serialize, Deserialize)]
struct BookRecord {
    shop_book_version: u64,
    #[serde(default)]
    products: Vec<ProductRecord>,
    #[serde(default)]
    uses: Vec<PastRecord>,
}

/// The version written, and the newest that is read.
const VERSION: u64 = 1;

/// The book in a value.
pub(in crate::file) fn read(value: &Value) -> Result<Book, Error> {
    match value.get("shop_book_version").and_then(Value::as_u64) {
        Some(VERSION) => {}
        Some(found) if found > VERSION => return Err(Error::Newer { found, known: VERSION }),
        _ => {
            let problem = "expected the number 1: this is not the file of a shop book, or is damaged";
            return Err(file_error("shop_book_version: ", problem));
        }
    }
    let record: BookRecord = serde_path_to_error::deserialize(value)
        .map_err(|error| file_error(&format!("{}: ", error.path()), &error.inner().to_string()))?;
    let book = Book { products: shared(record.products), uses: record.uses.into_iter().map(Into::into).collect() };
    super::ids_once("products", book.products.iter().map(|product| product.id))?;
    let known = |id: ProductId| book.products.iter().any(|product| product.id == id);
    for (index, past) in book.uses.iter().enumerate() {
        if let Some(id) = valid::product_of(&past.step).filter(|id| !known(*id)) {
            return Err(file_error(
                &format!("uses[{index}].step: "),
                &format!("there is no product {id} in this book"),
            ));
        }
        valid::covariance(&format!("uses[{index}]"), &past.covariance)?;
    }
    Ok(book)
}

/// The value of a book.
pub(in crate::file) fn write(book: &Book) -> Result<Value, Error> {
    let record = BookRecord {
        shop_book_version: VERSION,
        products: records(&book.products),
        uses: book.uses.iter().map(Into::into).collect(),
    };
    serde_json::to_value(record).map_err(|error| file_error("", &error.to_string()))
}
