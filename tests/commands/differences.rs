//! How the regions of one photo differ, as `read` tells it: against a library's ΔE2000 and draws of the stated errors.

use std::collections::BTreeSet;

use colour::Lab;
use nalgebra::{Matrix3, Vector3};
use palette::color_difference::Ciede2000;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use serde_json::Value;

use crate::read::{photo, polygon};
use crate::{run, schema::keeps_to};

const DRAWS: usize = 100_000;
/// How far an end may be off, as a share of the interval: it is told from 2048 draws, of which a 5 % point has a standard error of
/// (0.05 · 0.95 / 2048)^½ / 0.103 standard deviations (any textbook; density of the normal there), 0.014 of the 3.29 between the
/// ends. Twice that.
const END: f64 = 0.03;

fn matrix(rows: &Value) -> Matrix3<f64> {
    Matrix3::from_fn(|row, column| rows[row][column].as_f64().expect("a number"))
}

fn vector(lab: &Value) -> Vector3<f64> {
    Vector3::from_fn(|axis, _| lab[axis].as_f64().expect("a number"))
}

fn lab(v: Vector3<f64>) -> Lab {
    Lab::new(v.x, v.y, v.z)
}

/// Three normals (Box, Muller 1958).
fn normals(rng: &mut Pcg64) -> Vector3<f64> {
    Vector3::from_fn(|_, _| {
        let (u, v): (f64, f64) = (rng.random(), rng.random());
        (-2.0 * (1.0 - u).ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    })
}

/// A region's loading on a named error; none where it has none of it.
fn loading(region: &Value, factor: &str) -> Matrix3<f64> {
    let shared = region["shared"].as_array().expect("shared errors").iter();
    shared.filter(|one| one["factor"] == factor).map(|one| matrix(&one["loading"])).sum()
}

/// The difference of two regions, draw by draw: an own error of each, and those they have in common drawn once for both.
fn drawn(a: &Value, b: &Value, rng: &mut Pcg64) -> Vec<(Lab, Lab)> {
    let factors: BTreeSet<&str> = [a, b]
        .iter()
        .flat_map(|region| region["shared"].as_array().unwrap().iter().filter_map(|one| one["factor"].as_str()))
        .collect();
    let own = |region: &Value| {
        let common: Matrix3<f64> =
            factors.iter().map(|factor| loading(region, factor)).map(|loading| loading * loading.transpose()).sum();
        (matrix(&region["covariance"]) - common).cholesky().expect("an own error").l()
    };
    let (own_a, own_b) = (own(a), own(b));
    let pairs: Vec<_> = factors.iter().map(|factor| (loading(a, factor), loading(b, factor))).collect();
    (0..DRAWS)
        .map(|_| {
            let mut at = (vector(&a["lab"]) + own_a * normals(rng), vector(&b["lab"]) + own_b * normals(rng));
            for (of_a, of_b) in &pairs {
                let common = normals(rng);
                at = (at.0 + of_a * common, at.1 + of_b * common);
            }
            (lab(at.0), lab(at.1))
        })
        .collect()
}

fn quantile(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    values[(share * (values.len() - 1) as f64).round() as usize]
}

/// Halves of one panel, which hardly differ, and another panel: ΔE2000 as the library has it of the two colours told, the ends
/// where nine in ten of the drawn differences lie or a little beyond, the odds as many of them as are within the tolerance; and all of it
/// narrower than if each colour were off by itself.
#[test]
fn two_regions_differ_by_what_their_common_errors_leave() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 101);
    assert!(truth.panels.len() > 1, "a photo of several panels");
    let [a, b, c, d] = truth.panels[0].polygon_px[..] else { panic!("a panel has four corners") };
    let between = |p: [f64; 2], q: [f64; 2]| [(p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0];
    let halves = [[a, between(a, b), between(c, d), d], [between(a, b), b, c, between(c, d)]];
    let regions =
        [polygon("left", &halves[0]), polygon("right", &halves[1]), polygon("other", &truth.panels[1].polygon_px)];
    let of = ["read", &path, "--region", &regions[0], "--region", &regions[1], "--region", &regions[2]];
    let ran = run(&[&of[..], &["--json"]].concat(), "");
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""), "{}", ran.output);
    let record = keeps_to("read", &ran.output);
    let (read, differences) = (record["regions"].as_array().unwrap(), record["differences"].as_array().unwrap());
    let names: Vec<_> =
        differences.iter().map(|pair| (pair["a"].as_str().unwrap(), pair["b"].as_str().unwrap())).collect();
    assert_eq!(names, [("left", "right"), ("left", "other"), ("right", "other")]);
    assert_eq!(record["differences_left_out"], 0);
    let mut rng = Pcg64::seed_from_u64(20_261_127);
    let mut from_nothing = 0;
    for (pair, [a, b]) in differences.iter().zip([[0, 1], [0, 2], [1, 2]].map(|pair| pair.map(|k| &read[k]))) {
        let told = |key: &str, end: &str| pair[key][end].as_f64().unwrap();
        let by_library = lab(vector(&a["lab"])).difference(lab(vector(&b["lab"])));
        assert!((told("de00", "mean") - by_library).abs() < 1e-9, "{pair}: {by_library}");
        let draws = drawn(a, b, &mut rng);
        let mut sizes: Vec<f64> = draws.iter().map(|(a, b)| a.difference(*b)).collect();
        let within = sizes.iter().filter(|size| **size <= 1.5).count() as f64 / DRAWS as f64;
        assert_eq!(pair["tolerance_de00"], 1.5, "what counts as a match in one plane");
        assert!((pair["chance_within"].as_f64().unwrap() - within).abs() < 0.03, "{pair}: {within}");
        let wide = told("de00", "high") - told("de00", "low");
        if told("de00", "low") == 0.0 {
            from_nothing += 1;
            let high = quantile(&mut sizes, 0.9);
            assert!((told("de00", "high") - high).abs() < END * wide, "{pair}: up to {high}");
        } else {
            // The interval measures with one metric, that between the two, where ΔE2000 counts a change of a strong colour less:
            // so it may be wider than the draws, by a fifth for such as differ by 17 in chroma, but not narrower.
            let ends = [0.05, 0.95].map(|share| quantile(&mut sizes, share));
            let slack = END * wide;
            assert!(
                told("de00", "low") < ends[0] + slack && told("de00", "high") > ends[1] - slack,
                "{pair}: {ends:?}"
            );
            assert!(wide < 1.3 * (ends[1] - ends[0]), "{pair}: {ends:?}");
        }
        let mut lightness: Vec<f64> = draws.iter().map(|(a, b)| b.l - a.l).collect();
        for (share, end) in [(0.05, "low"), (0.95, "high")] {
            let wide = told("dl", "high") - told("dl", "low");
            assert!((told("dl", end) - quantile(&mut lightness, share)).abs() < END * wide, "{pair}");
        }
        let alone = [a, b].map(|region| region["covariance"][0][0].as_f64().unwrap()).iter().sum::<f64>().sqrt();
        assert!(told("dl", "high") - told("dl", "low") < 0.8 * 2.0 * 1.645 * alone, "{pair}: no surer than ± {alone}");
    }
    assert!(from_nothing >= 1, "the halves of one panel may be of one colour");
    let plain = run(&of, "").output;
    let row = plain.lines().find(|line| line.starts_with("left – other ")).expect("a row of the pair");
    let pair = &differences[1];
    let told = |end: &str| pair["de00"][end].as_f64().unwrap();
    let cell = format!("{:.1} ({:.1}–{:.1})", told("mean"), told("low"), told("high"));
    assert!(row.contains(&cell) && row.ends_with(pair["words"].as_str().unwrap()), "{row} has not {cell}");
}

/// Twenty-six strips of the panels: more pairs than are told, and in the table fewer still; each says how many it keeps to itself,
/// and these are the nearest.
#[test]
fn of_very_many_pairs_the_furthest_apart_are_told() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (path, truth) = photo(&folder, 101);
    let mut arguments = vec!["read".to_owned(), path];
    for k in 0..26 {
        let [a, b, c, d] = truth.panels[k % truth.panels.len()].polygon_px[..] else {
            panic!("a panel has four corners")
        };
        let along = |p: [f64; 2], q: [f64; 2], share: f64| [0, 1].map(|axis| p[axis] + share * (q[axis] - p[axis]));
        let (from, to) = (k as f64 / 40.0, k as f64 / 40.0 + 0.3);
        let strip = [along(a, d, from), along(b, c, from), along(b, c, to), along(a, d, to)];
        arguments.extend(["--region".to_owned(), polygon(&format!("r{k}"), &strip)]);
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let record = keeps_to("read", &run(&[&arguments[..], &["--json"]].concat(), "").output);
    let differences = record["differences"].as_array().unwrap();
    // 26 regions make 325 pairs.
    assert_eq!((differences.len(), &record["differences_left_out"]), (300, &25.into()));
    let lab_of = |name: &Value| {
        let region = record["regions"].as_array().unwrap().iter().find(|region| region["name"] == *name).unwrap();
        lab(vector(&region["lab"]))
    };
    let least = differences.iter().map(|pair| pair["de00"]["mean"].as_f64().unwrap()).fold(f64::INFINITY, f64::min);
    let mut all: Vec<f64> = Vec::new();
    for a in 0..26 {
        all.extend((a + 1..26).map(|b| lab_of(&format!("r{a}").into()).difference(lab_of(&format!("r{b}").into()))));
    }
    all.sort_by(f64::total_cmp);
    assert!(all[24] < all[25] && (least - all[25]).abs() < 1e-9, "{least} {:?}", &all[23..27]);
    let plain = run(&arguments, "").output;
    assert_eq!(plain.lines().filter(|line| line.starts_with('r') && line.contains(" – r")).count(), 12);
    assert!(plain.contains("… and 313 more pairs, all nearer to one another"), "{plain}");
}
