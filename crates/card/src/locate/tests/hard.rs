//! What charts are lost or misread by: each case alone, over poses and lights of its own, with the misses told.
//!
//! Shares that must be found are this product's own promise, no source. A chart under a mirrored lamp is missed rather than
//! one with patches in another order taken for it.

use super::*;

/// Where the card lies.
struct Truth {
    map: Homography,
    size: [f64; 2],
    pitch_px: f64,
    mirrored: bool,
}

impl Truth {
    fn of(map: Homography, scene: &Scene, mirrored: bool) -> Truth {
        let rows = (scene.colours.len() / scene.columns) as f64;
        let size = [scene.columns as f64 - scene.gap, rows - scene.gap];
        let pitch_px = map.unit_area([size[0] / 2.0, size[1] / 2.0]).sqrt();
        Truth { map, size, pitch_px, mirrored }
    }

    fn is(&self, found: &Located) -> bool {
        found.mirrored == self.mirrored && off(found, &self.map, self.size, self.pitch_px) < 0.2
    }
}

/// A place on the card, in pixels.
fn place(map: &Homography, column: f64, row: f64) -> [f64; 2] {
    map.apply([column + 0.425, row + 0.425])
}

/// Draws and looks for the chart once for each seed; all but `missed` must be found, and none be misread.
fn all_found(
    name: &str,
    seeds: std::ops::Range<u64>,
    missed_at_most: usize,
    draw: impl Fn(&mut Dice, Scene) -> (Preview, Truth),
) {
    let (card, colours) = chart();
    let (mut misread, mut missed) = (Vec::new(), Vec::new());
    for seed in seeds.clone() {
        let dice = &mut Dice::new(seed);
        let (picture, truth) = draw(dice, Scene::of(6, colours.clone()));
        match locate(&picture, std::slice::from_ref(&card)).first() {
            Some(found) if truth.is(found) => {}
            Some(_) => misread.push(seed),
            None => missed.push(seed),
        }
    }
    println!("{name}: {} drawn, misread {misread:?}, missed {missed:?} (seeds)", seeds.end - seeds.start);
    assert_eq!(misread, [0u64; 0], "{name}: misread");
    assert!(missed.len() <= missed_at_most, "{name}: missed {missed:?}");
}

fn posed(dice: &mut Dice, scene: &Scene, tilt_degrees: f64, mirrored: bool) -> Truth {
    let map = random_pose(dice, 6.0 - scene.gap, 4.0 - scene.gap, tilt_degrees.to_radians(), mirrored);
    Truth::of(map, scene, mirrored)
}

#[test]
fn with_part_of_it_in_shade() {
    all_found("a shadow's edge over the card", 1000..1024, 1, |dice, scene| {
        let truth = posed(dice, &scene, 20.0, false);
        let depth = dice.within(0.25, 0.6);
        let (sin, cos) = dice.within(0.0, std::f64::consts::TAU).sin_cos();
        let [x, y] = place(&truth.map, dice.within(1.0, 4.0), dice.within(0.5, 2.5));
        let shade = |at: [f64; 2], light: [f64; 3]| {
            let beyond = (at[0] - x) * cos + (at[1] - y) * sin;
            light.map(|v| v * (1.0 - (1.0 - depth) * (beyond / 4.0).clamp(0.0, 1.0)))
        };
        (scene.drawn_with(640, 480, &truth.map, dice, &shade), truth)
    });
}

#[test]
fn with_a_finger_on_it() {
    all_found("a finger over one to five patches", 1100..1124, 0, |dice, scene| {
        let truth = posed(dice, &scene, 20.0, false);
        // from outside the card to a patch of its edge rows, as fingers hold it
        let column = dice.within(0.0, 5.0);
        let tip = place(&truth.map, column, dice.within(0.0, 1.0));
        let root = place(&truth.map, column + dice.within(-0.8, 0.8), -4.0);
        let radius = 0.5 * truth.pitch_px;
        let finger = |at: [f64; 2], light: [f64; 3]| {
            let along = [root[0] - tip[0], root[1] - tip[1]];
            let t = ((at[0] - tip[0]) * along[0] + (at[1] - tip[1]) * along[1]) / along[0].hypot(along[1]).powi(2);
            let t = t.clamp(0.0, 1.0);
            let far = (at[0] - tip[0] - t * along[0]).hypot(at[1] - tip[1] - t * along[1]);
            if far < radius { [0.55, 0.32, 0.22].map(|v| v * (1.0 - 0.3 * far / radius)) } else { light }
        };
        (scene.drawn_with(640, 480, &truth.map, dice, &finger), truth)
    });
}

/// What a lamp looks like in a card: a soft spot, a disc with an edge, a tube.
const LAMPS: [fn([f64; 2]) -> f64; 3] = [
    |[x, y]| (-x * x - y * y).exp(),
    |[x, y]| ((1.1 - x.hypot(y)) / 0.2).clamp(0.0, 1.0),
    |[x, y]| (-(y / 0.5).powi(2)).exp() * ((2.0 - x.abs()) / 0.3).clamp(0.0, 1.0),
];

/// A cloth, a sheet or a box over a whole row, the greys or the first, or over the two columns at one side: a quarter to a third of
/// the patches at once, which a fit to all does not show to be off.
#[test]
fn with_a_row_or_two_columns_of_it_covered() {
    let far = 20.0;
    let covers = [[-far, 2.9, far, far], [-far, -far, far, 0.95], [3.9, -far, far, far], [-far, -far, 1.95, far]];
    for (k, [left, top, right, bottom]) in covers.into_iter().enumerate() {
        let seeds = 1200 + 20 * k as u64..1200 + 20 * k as u64 + 12;
        all_found("covered from one side", seeds, 1, |dice, scene| {
            let truth = posed(dice, &scene, 20.0, false);
            let back = truth.map.inverse().unwrap();
            let [light, red, blue] = [dice.within(0.02, 0.7), dice.within(0.8, 1.3), dice.within(0.5, 1.2)];
            let cover = move |at: [f64; 2], under: [f64; 3]| {
                let [x, y] = back.apply(at);
                let is_covered = (left..right).contains(&x) && (top..bottom).contains(&y);
                if is_covered { [light * red, light, light * blue] } else { under }
            };
            (scene.drawn_with(640, 480, &truth.map, dice, &cover), truth)
        });
    }
}

fn under_a_lamp(lamp: fn([f64; 2]) -> f64, dice: &mut Dice, scene: &Scene) -> (Preview, Truth) {
    let truth = posed(dice, scene, 20.0, false);
    let [x, y] = place(&truth.map, dice.within(0.0, 5.0), dice.within(0.0, 3.0));
    let (radius, strength) = (dice.within(0.6, 1.1) * truth.pitch_px, dice.within(0.3, 1.0));
    let glare = |at: [f64; 2], light: [f64; 3]| {
        let added = strength * lamp([(at[0] - x) / radius, (at[1] - y) / radius]);
        light.map(|v| v + added)
    };
    (scene.drawn_with(640, 480, &truth.map, dice, &glare), truth)
}

#[test]
fn with_a_lamp_mirrored_in_it() {
    for (lamp, seeds) in LAMPS.into_iter().zip([1200..1224, 1230..1254, 1260..1284]) {
        all_found("glare over a few patches", seeds, 2, |dice, scene| under_a_lamp(lamp, dice, &scene));
    }
}

/// The same on pictures that were drawn when the finder was done, and to which nothing may be tuned. Where one in twelve is
/// missed, as may be above (2 of 24), more than 15 of 100 are by chance about once in a hundred times (exact binomial).
#[test]
fn with_a_lamp_mirrored_in_it_on_pictures_never_seen() {
    for (lamp, seeds) in LAMPS.into_iter().zip([5300..5400, 5400..5500, 5500..5600]) {
        all_found("glare, never seen", seeds, 15, |dice, scene| under_a_lamp(lamp, dice, &scene));
    }
}

/// So broad and soft that no patch shows an edge of it and those around have some of it too.
#[test]
fn with_a_broad_soft_reflection_on_it() {
    all_found("a soft spot two to five patches wide", 5700..5760, 3, |dice, scene| {
        let truth = posed(dice, &scene, 20.0, false);
        let [x, y] = place(&truth.map, dice.within(0.0, 5.0), dice.within(0.0, 3.0));
        let (radius, strength) = (dice.within(1.0, 1.8) * truth.pitch_px, dice.within(0.2, 0.8));
        let glare = |at: [f64; 2], light: [f64; 3]| {
            let added = strength * LAMPS[0]([(at[0] - x) / radius, (at[1] - y) / radius]);
            light.map(|v| v + added)
        };
        (scene.drawn_with(640, 480, &truth.map, dice, &glare), truth)
    });
}

#[test]
fn small_in_the_frame() {
    all_found("a chart 90 to 130 px wide in 640 × 480", 1300..1324, 1, |dice, mut scene| {
        scene.blur_px = 0;
        let angles =
            [dice.within(0.0, std::f64::consts::TAU), dice.within(0.0, 0.5), dice.within(0.0, std::f64::consts::TAU)];
        let middle = [dice.within(120.0, 520.0), dice.within(120.0, 360.0)];
        let map = pose(6.0 - scene.gap, 4.0 - scene.gap, angles, dice.within(90.0, 130.0), middle, false);
        let truth = Truth::of(map, &scene, false);
        (scene.drawn(640, 480, &truth.map, dice), truth)
    });
}

#[test]
fn tilted_far() {
    all_found("40° to 50° off square", 1400..1424, 1, |dice, mut scene| {
        scene.blur_px = 0;
        let tilt = dice.within(40f64.to_radians(), 50f64.to_radians());
        let angles = [dice.within(0.0, std::f64::consts::TAU), tilt, dice.within(0.0, std::f64::consts::TAU)];
        let map = pose(6.0 - scene.gap, 4.0 - scene.gap, angles, dice.within(250.0, 400.0), [320.0, 240.0], false);
        let truth = Truth::of(map, &scene, false);
        (scene.drawn(640, 480, &truth.map, dice), truth)
    });
}

/// A window and a bulb far from the camera's white, some of them in a mirror: never upside down or mirrored unsaid.
#[test]
fn under_coloured_light() {
    const LIGHTS: [[f64; 3]; 4] = [[1.0, 0.55, 0.2], [0.5, 0.7, 1.1], [0.7, 0.9, 0.5], [0.25, 0.14, 0.05]];
    all_found("coloured light", 1500..1532, 1, |dice, mut scene| {
        scene.light = LIGHTS[dice.within(0.0, 3.999) as usize];
        let mirrored = dice.within(0.0, 1.0) < 0.5;
        let truth = posed(dice, &scene, 30.0, mirrored);
        (scene.drawn(640, 480, &truth.map, dice), truth)
    });
}

#[test]
fn out_of_focus() {
    all_found("edges 0.1 to 0.3 of a patch wide", 1600..1624, 1, |dice, mut scene| {
        let truth = posed(dice, &scene, 20.0, false);
        // two passes of a box 2r + 1 wide have a standard deviation of about 0.8 (r + ½)
        scene.blur_px = (dice.within(0.05, 0.12) * truth.pitch_px).round().max(1.0) as usize;
        (scene.drawn(640, 480, &truth.map, dice), truth)
    });
}

#[test]
fn too_bright_or_too_dark() {
    all_found("three stops under to one over", 1700..1732, 2, |dice, mut scene| {
        scene.light = [0.9 * dice.within(-3.0, 1.0).exp2(); 3];
        let truth = posed(dice, &scene, 30.0, false);
        (scene.drawn(640, 480, &truth.map, dice), truth)
    });
}

/// Two charts in one picture, one of them turned: both are found, each the right way round.
#[test]
fn beside_another_of_its_kind() {
    let (card, colours) = chart();
    for seed in 1800..1808 {
        let dice = &mut Dice::new(seed);
        let scene = Scene::of(6, colours.clone());
        let half = |dice: &mut Dice| {
            let turn = dice.within(0.0, std::f64::consts::TAU);
            let map = pose(5.85, 3.85, [turn, 0.2, 1.0], dice.within(250.0, 330.0), [320.0, 240.0], false);
            (scene.drawn(640, 480, &map, dice), map)
        };
        let ((left, on_left), (right, on_right)) = (half(dice), half(dice));
        let rows = left.rgb.chunks(640).zip(right.rgb.chunks(640));
        let rgb = rows.flat_map(|(left, right)| [left, right].concat()).collect();
        let found = locate(&Preview { width: 1280, height: 480, scale: 1.0, rgb }, std::slice::from_ref(&card));
        assert_eq!(found.len(), 2, "seed {seed}");
        for mut located in found {
            let is_right = located.corners_px.iter().map(|corner| corner[0]).sum::<f64>() > 4.0 * 640.0;
            located.corners_px.iter_mut().for_each(|corner| corner[0] -= if is_right { 640.0 } else { 0.0 });
            let map = if is_right { on_right } else { on_left };
            assert!(Truth::of(map, &scene, false).is(&located), "seed {seed}: {located:?}");
        }
    }
}

/// Cards of any size given as data, among others that are known: of a few, and of very many patches.
#[test]
fn of_the_users_own() {
    for (rows, columns, seeds) in [(3, 5, 1900..1908u64), (5, 7, 1910..1918), (10, 14, 1920..1926)] {
        for seed in seeds {
            let dice = &mut Dice::new(seed);
            // invented for this test
            let colour =
                |dice: &mut Dice| [dice.within(15.0, 95.0), dice.within(-45.0, 55.0), dice.within(-45.0, 65.0)];
            let lab: Vec<[f64; 3]> = (0..rows * columns).map(|_| colour(dice)).collect();
            let text = format!(
                r#"{{"id":"own","name":"own card","rows":{rows},"columns":{columns},"gap_fraction":0.1,
                    "editions":[{{"id":"a","name":"a","source":"invented","lab":{lab:?}}}]}}"#
            );
            let cards = [chart().0, Card::from_json(&text).unwrap()];
            let mut scene = Scene::of(columns, lab.into_iter().map(linear).collect());
            (scene.gap, scene.frame, scene.blur_px) = (0.1, [0.5; 3], usize::from(columns < 10));
            let angles = [
                dice.within(0.0, std::f64::consts::TAU),
                dice.within(0.0, 0.6),
                dice.within(0.0, std::f64::consts::TAU),
            ];
            let map = pose(columns as f64 - 0.1, rows as f64 - 0.1, angles, 420.0, [320.0, 240.0], false);
            let truth = Truth::of(map, &scene, false);
            let found = locate(&scene.drawn(640, 480, &truth.map, dice), &cards);
            assert_eq!(found.iter().map(|f| f.card).collect::<Vec<_>>(), [1], "{rows} × {columns}, seed {seed}");
            assert!(truth.is(&found[0]), "{rows} × {columns}, seed {seed}: {:?}", found[0]);
        }
    }
}

/// A chart beside one that is seen in a mirror, or printed so, the latter in the better light: both are found, the one that is
/// not mirrored first, for that is the one to measure by.
#[test]
fn beside_one_in_a_mirror() {
    let (card, colours) = chart();
    for seed in 1830..1838 {
        let dice = &mut Dice::new(seed);
        let half = |dice: &mut Dice, mirrored: bool| {
            let mut scene = Scene::of(6, colours.clone());
            (scene.noise, scene.falloff) = if mirrored { (0.002, 1.0) } else { (0.012, 0.7) };
            let turn = dice.within(0.0, std::f64::consts::TAU);
            let map = pose(5.85, 3.85, [turn, 0.2, 1.0], dice.within(250.0, 330.0), [320.0, 240.0], mirrored);
            scene.drawn(640, 480, &map, dice)
        };
        let mirrored_left = seed % 2 == 0;
        let (left, right) = (half(dice, mirrored_left), half(dice, !mirrored_left));
        let rows = left.rgb.chunks(640).zip(right.rgb.chunks(640));
        let rgb = rows.flat_map(|(left, right)| [left, right].concat()).collect();
        let found = locate(&Preview { width: 1280, height: 480, scale: 1.0, rgb }, std::slice::from_ref(&card));
        assert_eq!(found.iter().map(|found| found.mirrored).collect::<Vec<_>>(), [false, true], "seed {seed}");
        assert!(found[0].score < found[1].score, "seed {seed}: the mirrored one must look the better here");
    }
}
