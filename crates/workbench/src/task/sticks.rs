//! Sticks, wax fillers and touch-up colours: typed one by one, or kept in a CSV file with the header `name,L,a,b`.

use std::{fs, path::Path};

use colour::Lab;
use predict::Stick;

use super::{Error, Result, file_error, write::write_whole};

/// The columns of the file, in order.
const HEAD: &str = "name,L,a,b";
/// No file of sticks is larger: some thousand sticks.
const LARGEST_BYTES: u64 = 1 << 20;
/// More sticks than this are not weighed against each other: every mix of three is looked at.
const MOST_STICKS: usize = 60;

/// A colour as it is typed: `56/24/45`, L* from 0 to 100, a* and b* within 130.
pub fn lab_typed(text: &str) -> Option<Lab> {
    let values: Vec<f64> =
        text.split('/').map(|value| value.trim().replace('−', "-").parse().ok()).collect::<Option<_>>()?;
    let [l, a, b] = values[..] else { return None };
    lab_within([l, a, b])
}

fn lab_within([l, a, b]: [f64; 3]) -> Option<Lab> {
    ((0.0..=100.0).contains(&l) && a.abs() < 130.0 && b.abs() < 130.0).then(|| Lab::new(l, a, b))
}

/// A stick as it is typed: its name and its colour laid thick, `amber 56/24/45`; `=` may stand between them.
///
/// # Errors
/// Where there is no name, or no colour behind it.
pub fn stick_typed(text: &str) -> Result<Stick> {
    let split = text.trim().rsplit_once(['=', ' ']);
    let typed = split.and_then(|(name, colour)| Some((name.trim().trim_end_matches('='), lab_typed(colour)?)));
    match typed {
        Some((name, lab)) if is_name(name) => Ok(Stick { name: name.trim().to_owned(), lab }),
        _ => {
            let problem = "a stick is its name, without commas, and its colour as L*/a*/b*: amber 56/24/45".to_owned();
            Err(Error::Input { at: text.trim().to_owned(), problem })
        }
    }
}

fn is_name(name: &str) -> bool {
    !name.trim().is_empty() && !name.contains([',', '\n', '"'])
}

/// Reads a file of sticks. Blank lines are passed over.
///
/// # Errors
/// Where it cannot be read, has another header, or a line that is no stick.
pub fn open_sticks(path: &Path) -> Result<Vec<Stick>> {
    let refuse = |problem: String| Error::File { path: path.display().to_string(), problem };
    if fs::metadata(path).map_err(|error| file_error(path, &error))?.len() > LARGEST_BYTES {
        return Err(refuse("is larger than 1 MiB: a file of sticks is a short table".to_owned()));
    }
    let bytes = fs::read(path).map_err(|error| file_error(path, &error))?;
    let text = String::from_utf8(bytes).map_err(|_| refuse("is not text: it must be CSV in UTF-8".to_owned()))?;
    let text = text.trim_start_matches('\u{feff}');
    let mut lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    if lines.next().is_none_or(|(_, head)| head.replace(' ', "") != HEAD) {
        return Err(refuse(format!("the first line must be {HEAD}")));
    }
    let sticks = lines.map(|(at, line)| {
        let cells: Vec<&str> = line.split(',').map(str::trim).collect();
        let stick = match cells[..] {
            [name, l, a, b] if is_name(name) => lab_typed(&format!("{l}/{a}/{b}")).map(|lab| (name, lab)),
            _ => None,
        };
        let (name, lab) =
            stick.ok_or_else(|| refuse(format!("line {} is no stick: write it like amber,56,24,45", at + 1)))?;
        Ok(Stick { name: name.to_owned(), lab })
    });
    at_most(sticks.collect::<Result<_>>()?)
}

/// Writes a file of sticks, whole or not at all.
///
/// # Errors
/// Where the disk refuses.
pub fn save_sticks(path: &Path, sticks: &[Stick]) -> Result<()> {
    let line = |stick: &Stick| format!("{},{},{},{}\n", stick.name, stick.lab.l, stick.lab.a, stick.lab.b);
    let text = std::iter::once(format!("{HEAD}\n")).chain(sticks.iter().map(line)).collect::<String>();
    write_whole(path, text.as_bytes())
}

/// The sticks with one more; in the place of one of the same name.
///
/// # Errors
/// Where there are as many as can be weighed against each other.
pub fn with_stick(mut sticks: Vec<Stick>, new: Stick) -> Result<Vec<Stick>> {
    let same = |stick: &&mut Stick| stick.name.to_lowercase() == new.name.to_lowercase();
    match sticks.iter_mut().find(same) {
        Some(stick) => *stick = new,
        None => sticks.push(new),
    }
    at_most(sticks)
}

fn at_most(sticks: Vec<Stick>) -> Result<Vec<Stick>> {
    if sticks.len() <= MOST_STICKS {
        return Ok(sticks);
    }
    let problem = format!("{} are more than can be weighed against each other: leave {MOST_STICKS}", sticks.len());
    Err(Error::Input { at: "sticks".to_owned(), problem })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stick_is_its_name_and_its_colour() {
        for text in ["light oak 72/9/30", "light oak=72/9/30", " light oak = 72/9/30 "] {
            let stick = stick_typed(text).expect(text);
            assert_eq!((stick.name.as_str(), stick.lab), ("light oak", Lab::new(72.0, 9.0, 30.0)));
        }
        for text in ["", "amber", "56/24/45", "amber 56/24", "amber 156/24/45", "a,b 56/24/45", "amber 56/24/NaN"] {
            assert!(stick_typed(text).is_err(), "{text}");
        }
    }

    #[test]
    fn sticks_read_back_and_a_wrong_line_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("sticks.csv");
        let amber = stick_typed("amber 56/24/45.5").unwrap();
        let sticks = with_stick(vec![stick_typed("amber 1/1/1").unwrap()], amber.clone()).unwrap();
        assert_eq!(sticks, [amber], "one name is one stick");
        save_sticks(&path, &sticks).unwrap();
        assert_eq!(open_sticks(&path).unwrap(), sticks);
        fs::write(&path, "name,L,a,b\n\namber,56,24\n").unwrap();
        assert!(open_sticks(&path).unwrap_err().to_string().contains("line 3"));
        fs::write(&path, "stick;L\n").unwrap();
        assert!(open_sticks(&path).unwrap_err().to_string().contains("first line"));
    }
}
