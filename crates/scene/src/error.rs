//! What can go wrong.

/// Why a scene could not be drawn, rendered or written.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// An embedded table does not read as expected.
    #[error("the table {table} does not read at line {line}: {why}")]
    Table {
        /// File name of the table.
        table: &'static str,
        /// Line, from 1.
        line: usize,
        /// What was expected.
        why: String,
    },
    /// A column or a row that is not in a table.
    #[error("the table {table} has no {wanted}")]
    Missing {
        /// File name of the table.
        table: &'static str,
        /// What was asked for.
        wanted: String,
    },
    /// No smooth reflectance has the wanted colour.
    #[error("no smooth reflectance has Lab {0:.1?}; choose a colour nearer to wood")]
    Colour([f64; 3]),
    /// Four points that make no quadrilateral.
    #[error("these corners make no quadrilateral: {0:?}")]
    Corners([[f64; 2]; 4]),
    /// A frame without pixels, or larger than this crate renders.
    #[error("a frame of {0} by {1} pixels cannot be rendered; 16 to 8000 each way")]
    Frame(u32, u32),
    /// A description of demo photos that does not read.
    #[error("the description does not read: {0}")]
    Description(String),
    /// The picture could not be encoded.
    #[error("the picture could not be written: {0}")]
    Image(#[from] image::ImageError),
    /// A file could not be read or written.
    #[error("{path}: {source}")]
    File {
        /// Which file.
        path: String,
        /// Why.
        source: std::io::Error,
    },
}
