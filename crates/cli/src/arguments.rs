//! The commands and their options.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

/// Colour matching for people who refinish furniture.
#[derive(Debug, Parser)]
#[command(name = "tonewright", version, args_conflicts_with_subcommands = true)]
pub(crate) struct Arguments {
    /// What to do; without it the window opens
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    /// A piece folder or photos to open in the window
    #[arg(value_name = "PIECE|PHOTO")]
    pub(crate) paths: Vec<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Open a piece in the window
    Open {
        /// The piece's folder
        piece: PathBuf,
    },
    /// Open a demo piece (invented data), copied first; without a display, print its answers and write its sheet
    Demo {
        /// Which demo; none lists them and takes the first
        name: Option<String>,
    },
    /// Find the reference card in photos and measure regions
    Read(Read),
    /// ΔE2000 of pairs on standard input: CSV with header L1,a1,b1,L2,a2,b2
    Differ(Json),
    /// Parts against each other and the match sample
    Compare {
        /// The piece's folder
        piece: PathBuf,
        #[command(flatten)]
        json: Json,
    },
    /// What could be done to one part, best first
    Rank {
        /// The piece's folder
        piece: PathBuf,
        /// The part, by name
        #[arg(long, value_name = "NAME")]
        part: String,
        /// Print every schedule, not the first twelve only
        #[arg(long)]
        all: bool,
        #[command(flatten)]
        json: Json,
    },
    /// Joint plans over all parts
    Routes {
        /// The piece's folder
        piece: PathBuf,
        /// The units that amounts are written in, but for --json
        #[arg(long, value_enum, default_value_t = Units::Metric)]
        units: Units,
        #[command(flatten)]
        json: Json,
    },
    /// The trial to make next, or to stop and do it
    Next {
        /// The piece's folder
        piece: PathBuf,
        #[command(flatten)]
        json: Json,
    },
    /// Colouring out: which sticks to mix for the colour of a spot, and in what parts
    ColourOut(ColourOut),
    /// Write the work sheet (.html)
    Sheet {
        /// The piece's folder
        piece: PathBuf,
        /// The file to write
        #[arg(short = 'o', long = "output", value_name = "FILE")]
        output: PathBuf,
        /// The units that amounts are written in
        #[arg(long, value_enum, default_value_t = Units::Metric)]
        units: Units,
    },
    /// What is wrong with a piece folder, if anything
    Check {
        /// The piece's folder
        piece: PathBuf,
        #[command(flatten)]
        json: Json,
    },
    /// The shop book: what products did on earlier pieces
    Book(Book),
    /// The cards known; or check a card file
    Cards {
        /// A card file (.json)
        file: Option<PathBuf>,
        #[command(flatten)]
        json: Json,
    },
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Units {
    /// Millilitres and square metres
    Metric,
    /// US fluid ounces and square feet
    Us,
}

impl From<Units> for workbench::Units {
    fn from(units: Units) -> Self {
        match units {
            Units::Metric => Self::Metric,
            Units::Us => Self::UsCustomary,
        }
    }
}

#[derive(Args, Clone, Copy, Debug)]
pub(crate) struct Json {
    /// Print JSON for programs instead of a table
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Args, Debug)]
pub(crate) struct ColourOut {
    /// The piece's folder
    pub(crate) piece: PathBuf,
    /// What the spot shall look like: a part or board by name, or a reading by its id
    #[arg(long, value_name = "NAME")]
    pub(crate) spot: String,
    /// A stick, wax filler or touch-up colour and its colour laid thick; may be given again
    #[arg(long = "stick", value_name = "NAME=L/a/b", required_unless_present = "sticks")]
    pub(crate) typed: Vec<String>,
    /// A file of sticks: CSV with header name,L,a,b
    #[arg(long, value_name = "FILE")]
    pub(crate) sticks: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) json: Json,
}

#[derive(Args, Debug)]
pub(crate) struct Book {
    /// The book's file (.json); it is begun by the first piece entered
    pub(crate) book: PathBuf,
    /// Enter the trials of this piece
    #[arg(long, value_name = "PIECE", conflicts_with_all = ["merge", "take_up"])]
    pub(crate) enter: Option<PathBuf>,
    /// Merge another book into it
    #[arg(long, value_name = "BOOK", conflicts_with = "take_up")]
    pub(crate) merge: Option<PathBuf>,
    /// Take up in this piece what the book knows of its products, and save the piece
    #[arg(long, value_name = "PIECE")]
    pub(crate) take_up: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) json: Json,
}

#[derive(Args, Debug)]
pub(crate) struct Read {
    /// Photos, in any order
    #[arg(required = true, value_name = "PHOTO")]
    pub(crate) photos: Vec<PathBuf>,
    /// The card in the photos: one of `tonewright cards`, `ID/EDITION`, or a card file
    #[arg(long, value_name = "ID|FILE")]
    pub(crate) card: Option<String>,
    /// The card's corners in pixels of the upright picture, from the outer corner of the first patch along its row
    #[arg(long, value_name = "x1,y1,x2,y2,x3,y3,x4,y4", allow_hyphen_values = true)]
    pub(crate) corners: Option<String>,
    /// A region to measure, by its corners in pixels in order round it; may be given again: each two are told against each other
    #[arg(long = "region", value_name = "NAME=x,y;x,y;x,y…", allow_hyphen_values = true)]
    pub(crate) regions: Vec<String>,
    /// A place to leave out of every region it touches, such as a knot or label, by its corners in order round it; may be given again
    #[arg(long = "leave-out", value_name = "x,y;x,y;x,y…", allow_hyphen_values = true)]
    pub(crate) left_out: Vec<String>,
    /// Leave the light and dark spots that its evenness finds out of the colour of each region
    #[arg(long)]
    pub(crate) leave_spots_out: bool,
    /// A photo of a plain white or grey board that fills the frame in the same light: evens the light of the others
    #[arg(long, value_name = "PHOTO")]
    pub(crate) board: Option<PathBuf>,
    /// Where your check tile lies in the photos: each photo adds one reading to the tile record, or takes the place of its own
    #[arg(long, value_name = "x,y;x,y;x,y…", allow_hyphen_values = true, requires = "tile_record")]
    pub(crate) tile: Option<String>,
    /// The record of your check tile (.json): how far its readings drift is told, and enters the stated error from three on
    #[arg(long, value_name = "FILE")]
    pub(crate) tile_record: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) json: Json,
}
