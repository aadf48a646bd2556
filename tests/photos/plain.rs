//! Cards that are too plain to tell of colours: a strip of greys, one grey.

use acceptance::rendered::panels;
use acceptance::stated::Tally;
use card::grid::Grid;
use card::{Card, Limits, PhotoReading, Request};
use rayon::prelude::*;

/// Seeds of this test: scenes as drawn by `scene::draw`.
const SEEDS: std::ops::Range<u64> = 500_001..500_041;
/// Gap between the patches of the rendered chart, as a share of their pitch.
const GAP: f64 = 0.15;

/// A card file of some neighbouring patches of the chart's last row, the greys, with their published colours.
fn part_of_the_chart(columns: std::ops::Range<usize>) -> Card {
    let chart = card::layout::known().into_iter().find(|card| card.id == "chart24").unwrap();
    let lab = chart.editions[0].lab[18 + columns.start..18 + columns.end].iter();
    let lab: Vec<[f64; 3]> = lab.map(|lab| [lab.l, lab.a, lab.b]).collect();
    let text = format!(
        r#"{{"id": "greys", "name": "greys", "rows": 1, "columns": {}, "gap_fraction": {GAP},
            "editions": [{{"id": "a", "name": "a", "source": "the chart's", "lab": {lab:?}}}]}}"#,
        columns.len()
    );
    Card::from_json(&text).unwrap()
}

/// The photo of a seed, read by those patches alone.
fn read(seed: u64, columns: std::ops::Range<usize>) -> (PhotoReading, scene::Truth) {
    let scene = scene::draw(seed).unwrap();
    let rendered = scene::render(&scene).unwrap();
    let truth = rendered.truth.clone();
    let chart = Grid::new(4, 6, GAP, truth.card_corners_px.unwrap()).unwrap();
    let (left, right) = (columns.start as f64, columns.end as f64 - GAP);
    let corners = [[left, 3.0], [right, 3.0], [right, 4.0 - GAP], [left, 4.0 - GAP]];
    let photo = card::decode(&scene::jpeg(&rendered, &scene.file).unwrap(), &Limits::default()).unwrap();
    let request = Request {
        card: Some(part_of_the_chart(columns)),
        corners_px: Some(corners.map(|corner| chart.photo_from_card(corner))),
        regions: truth.panels.iter().map(|panel| (panel.name.clone(), panel.polygon_px.clone())).collect(),
        ..Request::default()
    };
    (card::read(&photo, &request, &|_| true).unwrap(), truth)
}

/// The interval must be true of what exposure and white alone can do: held by nine in ten, wider than a chart's, and said.
/// A panel that is not read counts as a miss.
#[test]
fn greys_alone_set_exposure_and_white_with_the_interval_that_is_true_of_that() {
    for columns in [0..6, 3..4] {
        let read: Vec<(PhotoReading, scene::Truth)> =
            SEEDS.into_par_iter().map(|seed| read(seed, columns.clone())).collect();
        let wanted: usize = read.iter().map(|(_, truth)| truth.panels.len()).sum();
        for (reading, _) in &read {
            assert!(reading.fit.is_none(), "left-out greys say nothing of colours");
            assert!(reading.warnings.iter().any(|warning| warning.code == "card-plain"));
        }
        let stated =
            Tally::of(read.iter().flat_map(|(reading, truth)| panels(reading, truth)).map(|panel| panel.stated));
        let share = stated.held() as f64 / wanted as f64;
        assert!((0.85..=1.0).contains(&share), "{columns:?}: {stated}, of {wanted} wanted");
        assert!(stated.width() > 6.0, "{columns:?}: {stated}");
    }
}

#[test]
fn one_patch_is_never_looked_for() {
    let scene = scene::draw(500_001).unwrap();
    let rendered = scene::render(&scene).unwrap();
    let photo = card::decode(&scene::jpeg(&rendered, &scene.file).unwrap(), &Limits::default()).unwrap();
    for id in ["grey18", "paper"] {
        let card = card::layout::known().into_iter().find(|card| card.id == id);
        let reading = card::read(&photo, &Request { card, ..Request::default() }, &|_| true).unwrap();
        assert!(reading.card.is_none());
        let told: Vec<_> = reading.warnings.iter().filter(|warning| warning.code == "card-few-patches").collect();
        assert!(told.len() == 1 && told[0].text.contains("is a single patch, which cannot"), "{:?}", reading.warnings);
    }
}
