//! A photo beside a reference card to measured colours and warnings.

pub mod layout;
pub mod locate;
