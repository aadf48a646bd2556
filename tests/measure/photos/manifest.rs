//! photos.csv: what is known of each photo.

use std::collections::BTreeMap;
use std::path::Path;

/// What a photo shows of a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Chart {
    /// The whole chart.
    Whole,
    /// None.
    None,
    /// Another card.
    Other,
    /// Cut by the frame.
    Cut,
}

/// A line of photos.csv.
#[derive(Clone, Debug)]
pub(crate) struct Listed {
    pub(crate) file: String,
    /// Photos of one source.
    pub(crate) group: String,
    pub(crate) chart: Chart,
    kind: String,
    /// Altered by someone before it was published.
    pub(crate) processed: bool,
    /// Corners of the patch grid in upright pixels, and the gap between patches over their pitch.
    pub(crate) known: Option<([[f64; 2]; 4], f64)>,
}

/// The lines of FOLDER/photos.csv.
pub(crate) fn listed(folder: &Path) -> Result<Vec<Listed>, String> {
    let path = folder.join("photos.csv");
    let wrong = |error: csv::Error| format!("{}: {error}", path.display());
    let mut lines = csv::Reader::from_path(&path).map_err(wrong)?;
    lines.deserialize::<BTreeMap<String, String>>().map(|line| Listed::new(&line.map_err(wrong)?)).collect()
}

impl Listed {
    fn new(line: &BTreeMap<String, String>) -> Result<Self, String> {
        let text = |key: &str| line.get(key).map(String::as_str).unwrap_or_default();
        let number = |key: &str| text(key).parse::<f64>().ok();
        let corner = |k: usize| Some([number(&format!("x{k}"))?, number(&format!("y{k}"))?]);
        let corners = || Some([corner(1)?, corner(2)?, corner(3)?, corner(4)?]);
        let known = corners().zip(number("gap_fraction"));
        let chart = match text("chart") {
            "yes" => Chart::Whole,
            "no" => Chart::None,
            "partial" => Chart::Cut,
            "other" => Chart::Other,
            word => {
                return Err(format!("photos.csv, {}: chart is yes, no, other or partial, not '{word}'", text("file")));
            }
        };
        let turned = matches!(text("orientation"), "5" | "6" | "7" | "8");
        let size = number("width").zip(number("height")).map(|(w, h)| if turned { [h, w] } else { [w, h] });
        let cut = known.zip(size).is_some_and(|((corners, _), size)| {
            corners.iter().any(|corner| (0..2).any(|axis| !(0.0..=size[axis]).contains(&corner[axis])))
        });
        Ok(Self {
            file: text("file").to_owned(),
            group: text("group").to_owned(),
            chart: if cut { Chart::Cut } else { chart },
            kind: text("kind").to_owned(),
            processed: !matches!(text("processed"), "no" | ""),
            known,
        })
    }

    /// Whether the chart is as its maker made it: the errors of copies, printed and shown ones say little.
    pub(crate) fn made(&self) -> bool {
        !["printed", "screen", "clone", "copy"].iter().any(|word| self.kind.contains(word))
    }
}
