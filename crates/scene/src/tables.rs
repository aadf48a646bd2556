//! The published tables, embedded.

use crate::{Error, Spectrum};

const CMF: (&str, &str) = ("cmf_cie1931_2deg_5nm.csv", include_str!("../data/cmf_cie1931_2deg_5nm.csv"));
const LIGHTS: (&str, &str) = ("illuminants_5nm.csv", include_str!("../data/illuminants_5nm.csv"));
const CHART: (&str, &str) = ("chart24_spectra_iso17321.csv", include_str!("../data/chart24_spectra_iso17321.csv"));
const WOOD: (&str, &str) = ("wood_reflectance_10nm.csv", include_str!("../data/wood_reflectance_10nm.csv"));

/// The published figures this crate works from; the source of each stands on top of its file in `data/`.
#[derive(Clone, Debug)]
pub struct Tables {
    /// CIE 1931 2° colour matching functions x̄, ȳ, z̄.
    pub cmf: [Spectrum; 3],
    /// CIE illuminants by name (A, D50, D65, FL11, LED-B3 …), relative power.
    pub lights: Vec<(String, Spectrum)>,
    /// Reflectance of the 24 patches of the colour-rendition chart, row by row.
    pub chart: Vec<(String, Spectrum)>,
    /// Measured reflectance of wood products.
    pub woods: Vec<(String, Spectrum)>,
}

impl Tables {
    /// Reads the embedded tables.
    ///
    /// # Errors
    /// [`Error::Table`] if a table was damaged.
    pub fn read() -> Result<Self, Error> {
        let cmf = columns(CMF)?;
        let [x, y, z] = cmf.as_slice() else {
            return Err(Error::Missing { table: CMF.0, wanted: "three columns".into() });
        };
        Ok(Self { cmf: [x.1, y.1, z.1], lights: columns(LIGHTS)?, chart: columns(CHART)?, woods: columns(WOOD)? })
    }

    /// The relative power of an illuminant by its name in the table.
    ///
    /// # Errors
    /// [`Error::Missing`] for a name not in the table.
    pub fn light(&self, name: &str) -> Result<Spectrum, Error> {
        find(&self.lights, name).ok_or_else(|| Error::Missing { table: LIGHTS.0, wanted: format!("light {name}") })
    }

    /// A wood spectrum by a part of its name.
    ///
    /// # Errors
    /// [`Error::Missing`] for a name not in the table.
    pub fn wood(&self, part: &str) -> Result<Spectrum, Error> {
        let found = self.woods.iter().find(|wood| wood.0.contains(part)).map(|wood| wood.1);
        found.ok_or_else(|| Error::Missing { table: WOOD.0, wanted: format!("wood {part}") })
    }
}

fn find(columns: &[(String, Spectrum)], name: &str) -> Option<Spectrum> {
    columns.iter().find(|column| column.0 == name).map(|column| column.1)
}

/// The columns of a table whose first column is the wavelength; steps of 5 or 10 nm, linear between.
fn columns((table, text): (&'static str, &str)) -> Result<Vec<(String, Spectrum)>, Error> {
    let wrong = |line: usize, why: String| Error::Table { table, line: line + 1, why };
    let mut lines = text.lines().enumerate().filter(|(_, line)| !line.starts_with('#') && !line.trim().is_empty());
    let (at, head) = lines.next().ok_or_else(|| wrong(0, "a line of column names was expected".into()))?;
    let names: Vec<String> = head.split(',').skip(1).map(|name| name.trim().to_string()).collect();
    if names.is_empty() {
        return Err(wrong(at, "at least two columns were expected".into()));
    }
    let mut knots: Vec<Vec<(f64, f64)>> = vec![Vec::new(); names.len()];
    for (at, line) in lines {
        let values: Result<Vec<f64>, _> = line.split(',').map(|cell| cell.trim().parse::<f64>()).collect();
        let values = values.map_err(|err| wrong(at, err.to_string()))?;
        let [nm, rest @ ..] = values.as_slice() else { return Err(wrong(at, "numbers were expected".into())) };
        if rest.len() != names.len() {
            return Err(wrong(at, format!("{} columns were expected", names.len() + 1)));
        }
        for (column, value) in knots.iter_mut().zip(rest) {
            column.push((*nm, *value));
        }
    }
    Ok(names.into_iter().zip(knots.iter().map(|column| Spectrum::from_knots(column))).collect())
}
