//! How fast a photo is decoded whose profile is made of tables: `cargo bench -p card --bench profiles`. The photo is that of
//! the bench `photo`, with one profile after the other, and at first with none.

#[path = "../tests/icc/mod.rs"]
mod icc;
mod rendered;
mod timing;

use std::hint::black_box;

use anyhow::Result;
use card::photo::ProfileOrigin;
use card::{Limits, decode};

use rendered::{HEIGHT_PX, SEED, WIDTH_PX, jpeg, rendered};
use timing::Report;

fn main() -> Result<()> {
    let (picture, _) = rendered()?;
    let mut report = Report::new("decoding a baseline JPEG")?;
    report.note(&format!("scene {SEED}, {WIDTH_PX} × {HEIGHT_PX} px"))?;
    let plain = ("no profile", None);
    let tables = icc::tables().map(|(name, bytes)| (name, Some(bytes)));
    for (name, profile) in std::iter::once(plain).chain(tables) {
        let file = jpeg(&picture, None, profile.as_deref())?;
        let origin = decode(&file, &Limits::default())?.profile.origin;
        anyhow::ensure!((origin == ProfileOrigin::Embedded) == profile.is_some(), "{name} is not followed");
        report.job(name, || {
            black_box(decode(&file, &Limits::default()).ok());
        })?;
    }
    Ok(())
}
