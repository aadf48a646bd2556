//! A piece and its predictions to documents.
//!
//! [`work_sheet()`] makes a [`Document`] of plain blocks, which the window draws and [`html()`] prints. [`mixing()`] says
//! what to mix for a plan. Nothing here touches the disk or decides anything: what is written is what `predict` says.

mod aftercare;
pub mod amount;
mod batch;
pub mod document;
pub mod html;
pub mod mixing;
pub mod work_sheet;
mod working;

pub use amount::Units;
pub use document::{Block, Document, Line, Swatch};
pub use html::html;
pub use mixing::{Mix, mixing, mixing_of};
pub use work_sheet::{sheet_of, work_sheet};
