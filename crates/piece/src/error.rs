//! What can go wrong with a piece, each with the way out.

/// One clear line: what, where, what to do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Error {
    /// An edit names something that is not in the piece.
    #[error("there is no {kind} {id} in this piece: it was removed, or the id is mistyped")]
    NoSuch {
        /// What kind of thing: 'part'.
        kind: &'static str,
        /// Its id, or how it was named.
        id: String,
    },
    /// A name that is already there.
    #[error("there is already a {kind} called '{name}': choose another name")]
    NameTaken {
        /// What kind of thing.
        kind: &'static str,
        /// The name.
        name: String,
    },
    /// A value that cannot stand.
    #[error("{at}: {problem}")]
    Invalid {
        /// Where, in words: 'part 'top''.
        at: String,
        /// What is wrong, what was expected.
        problem: String,
    },
    /// Something to be removed is still in use.
    #[error("{what} cannot be removed: it is used by {users}; remove or change that first")]
    InUse {
        /// What was to be removed.
        what: String,
        /// Who uses it.
        users: String,
    },
    /// All the numbers of a kind of id have been given.
    #[error("no more numbers for another {kind}: start a new piece")]
    IdsUsedUp {
        /// What kind of thing.
        kind: &'static str,
    },
    /// The text of a piece file does not say what it should.
    #[error("piece.json: {at}{problem}")]
    File {
        /// Path within the JSON, with a colon and a blank after it; empty for the whole.
        at: String,
        /// What was expected, and what to do.
        problem: String,
    },
    /// A file of a later version.
    #[error(
        "piece.json: written as version {found} by a newer Tonewright; this one reads up to version {known}: update Tonewright"
    )]
    Newer {
        /// The version in the file.
        found: u64,
        /// The newest known here.
        known: u64,
    },
    /// The file on disk is not the one that was opened.
    #[error("{path}: changed by another program since it was opened: save as a copy, or save over it")]
    ChangedOnDisk {
        /// The file.
        path: String,
    },
    /// A path that leads out of the piece's folder.
    #[error("'{path}' does not stay within the piece's folder: expected a path such as photos/fronts-dry.jpg")]
    PathEscapes {
        /// The path.
        path: String,
    },
    /// The disk refused, or has something unexpected.
    #[error("{path}: {problem}")]
    Disk {
        /// The file or folder.
        path: String,
        /// What was being done and what came of it, with the way out.
        problem: String,
    },
}

impl Error {
    /// A value that cannot stand.
    pub(crate) fn invalid(at: impl Into<String>, problem: impl Into<String>) -> Self {
        Self::Invalid { at: at.into(), problem: problem.into() }
    }
}
