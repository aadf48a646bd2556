//! Every warning: a rendered photo that must raise it, and one with a little of the same that must not.

use acceptance::rendered;
use scene::{Material, Observer, Rendered, Spectrum, Tables, perturbed};

use crate::shot::{Said, Shot, local_tone};

/// One photo raises the warning, the other does not.
fn check(code: &str, raises: Shot, spares: Shot) {
    let (raised, spared) = (raises.read().codes(), spares.read().codes());
    assert!(raised.contains(&code), "{code} is not among {raised:?}");
    assert!(!spared.contains(&code), "{code} is among {spared:?}");
}

fn square([x, y]: [f64; 2], side: f64) -> Vec<[f64; 2]> {
    vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]
}

/// Sets every pixel of an ellipse in the frame that this share of them falls into.
fn spot(rendered: &mut Rendered, centre: [f64; 2], radius: [f64; 2], share: f64) {
    let width = rendered.width_px as usize;
    for (k, pixel) in rendered.rgb.chunks_exact_mut(3).enumerate() {
        let [x, y] = [(k % width) as f64, (k / width) as f64];
        let inside = ((x - centre[0]) / radius[0]).hypot((y - centre[1]) / radius[1]) < 1.0;
        // A low-discrepancy sequence thins them evenly.
        if inside && (k as f64 * 0.618_033_988_749_895).fract() < share {
            pixel.fill(255);
        }
    }
}

#[test]
fn a_good_photo_gives_no_warning() {
    let said = Shot::plain().read();
    assert!(said.reading.card.is_some());
    assert_eq!(said.reading.regions.len(), said.truth.panels.len());
    assert_eq!(said.codes(), [""; 0]);
}

#[test]
fn too_much_light() {
    check(
        "overexposed",
        Shot::plain().with(|scene| scene.camera.exposure = 2.6),
        Shot::plain().with(|scene| scene.camera.exposure = 1.0),
    );
    check(
        "clipped",
        Shot::plain().with(|scene| scene.camera.exposure = 1.3),
        Shot::plain().with(|scene| scene.camera.exposure = 0.95),
    );
}

/// What is too bright fits no card, but the light is the cause: it is named first, and the card doubted only where its whole
/// patches do not fit either.
#[test]
fn too_much_light_is_not_taken_for_a_wrong_card() {
    let exposed = |exposure: f64| Shot::plain().with(move |scene| scene.camera.exposure = exposure);
    for shot in [exposed(3.5), exposed(5.0), exposed(5.0).by_hand()] {
        let said = shot.read();
        assert!(said.reading.fit.as_ref().is_some_and(|fit| fit.mean > 8.0), "{:?}", said.reading.fit);
        assert_eq!(said.codes()[0], "overexposed");
        assert!(!said.codes().contains(&"wrong-card"), "{:?}", said.codes());
    }
    // So bright that no card is left to tell.
    for (shot, after) in [(exposed(12.0), "no-card"), (exposed(12.0).by_hand(), "wrong-card")] {
        let said = shot.read();
        assert!(said.reading.card.is_none());
        assert_eq!(said.codes()[..2], ["overexposed", after]);
    }
    // The wrong card in too much light is still doubted: every patch in another's place but the darkest six.
    let turned = Shot::plain().by_hand().with(|scene| {
        scene.camera.exposure = 2.2;
        scene.card.iter_mut().for_each(|card| card.patches[..18].rotate_left(7));
    });
    let said = turned.read();
    assert!(said.codes().contains(&"wrong-card"), "{:?}", said.codes());
}

#[test]
fn too_little_light() {
    check(
        "dark",
        Shot::plain().with(|scene| scene.camera.exposure = 0.12),
        Shot::plain().with(|scene| scene.camera.exposure = 0.35),
    );
}

#[test]
fn glare_on_the_card() {
    let glaring = |radius: f64| {
        let shot = Shot::plain();
        shot.painted(move |rendered| {
            let corners = rendered.truth.card_corners_px.expect("a card");
            // The middle of the second patch of the third row.
            let at =
                |axis: usize| corners[0][axis] + (corners[2][axis] - corners[0][axis]) * [1.45 / 5.9, 2.45 / 3.9][axis];
            spot(rendered, [at(0) + 8.0, at(1)], [radius, radius], 1.0);
        })
    };
    check("glare", glaring(14.0), glaring(2.0));
}

/// A window that mirrors softly in a corner of the card lightens what is dark there most, and hides no patch; a hundredth of its light
/// is no more than any lens adds.
#[test]
fn a_soft_reflection_on_the_card() {
    let mirroring = |size: f64| {
        Shot::plain().mirroring(move |[x, y]| size * f64::exp(-((x - 0.22).powi(2) + (y - 0.36).powi(2)) / 0.005))
    };
    check("soft-glare", mirroring(0.08), mirroring(0.0008));
    let said = mirroring(0.08).read();
    assert!(!said.codes().contains(&"light-falls-off"), "{:?}", said.codes());
}

/// One cause is told once: a soft reflection or a shadow on the card is not told again as light that falls off, nor are patches that it
/// reaches named for anything else; a region at the shadow's edge is not said to have too little grain.
#[test]
fn one_cause_is_told_once() {
    let check = |said: &Said, cause: &str, what: &str| {
        let warnings = &said.reading.warnings;
        assert!(said.codes().contains(&cause), "{what}: {warnings:?}");
        assert!(!said.codes().contains(&"light-falls-off"), "{what}: {warnings:?}");
        assert!(!said.codes().contains(&"region-few-grains"), "{what}: {warnings:?}");
        for patch in &said.reading.card.as_ref().expect("a card").patches {
            let name = format!("'{}'", patch.id);
            let naming: Vec<&str> =
                warnings.iter().filter(|one| one.text.contains(&name)).map(|one| one.code).collect();
            assert!(naming.len() < 2, "{what}: {name} in {naming:?}");
        }
    };
    for size in [0.08, 0.12] {
        let lit = move |[x, y]: [f64; 2]| size * f64::exp(-((x - 0.22).powi(2) + (y - 0.36).powi(2)) / 0.005);
        check(&Shot::plain().mirroring(lit).read(), "soft-glare", &format!("a reflection of {size}"));
    }
    for at in [0.20, 0.245, 0.29] {
        let shaded = Shot::plain().lit(move |[x, y]| {
            let into = ((x + 0.1 * (y - 0.5) - at) / 0.004).clamp(-0.5, 0.5) + 0.5;
            [1.0 - 0.6 * into; 3]
        });
        check(&shaded.read(), "shade", &format!("an edge at {at}"));
    }
    // the edge runs across the card's foot and an even board beside it
    let across = Shot::plain()
        .with(|scene| {
            scene.surfaces.truncate(2);
            scene.surfaces[1].corners_px = [[900.0, 100.0], [1300.0, 100.0], [1300.0, 700.0], [900.0, 700.0]];
            scene.surfaces[1].material = Material::Flat(Spectrum::flat(0.5));
        })
        .lit(|[_, y]| [1.0 - 0.6 * (((y - 0.36) / 0.004).clamp(-0.5, 0.5) + 0.5); 3])
        .region(square([1000.0, 350.0], 160.0));
    check(&across.read(), "shade", "an edge across card and board");
}

/// Where the edge of a shadow crosses patches, their lit part is brighter than the rest. That is no reflection.
#[test]
fn the_edge_of_a_shadow_is_not_told_as_glare() {
    let mut told = 0;
    for (k, at) in [0.20, 0.215, 0.23, 0.245, 0.26, 0.275, 0.29, 0.305].into_iter().enumerate() {
        let (side, lean) = (if k % 2 == 0 { 1.0 } else { -1.0 }, 0.05 * k as f64);
        let shaded = Shot::plain().lit(move |[x, y]| {
            let into = (side * (x + lean * (y - 0.5) - at) / 0.004).clamp(-0.5, 0.5) + 0.5;
            [1.0 - 0.6 * into; 3]
        });
        let codes = shaded.read().codes();
        assert!(!codes.contains(&"glare"), "edge at {at}: {codes:?}");
        told += usize::from(codes.contains(&"shade"));
    }
    assert_eq!(told, 8, "told as shade in {told} of 8");
}

#[test]
fn light_that_falls_off_mixes_or_is_shaded() {
    let falling =
        |slope: f64| Shot::plain().with(move |scene| (scene.light.slope, scene.light.slope_rad) = (slope, 0.3));
    check("light-falls-off", falling(0.55), falling(0.12));
    // Red rises to the right, blue falls, as between a window and a warm lamp.
    let mixing = |size: f64| {
        Shot::plain().lit(move |[x, _]| [1.0 + size * (x - 0.5), 1.0, 1.0 - size * (x - 0.5)].map(|one| one * 0.9))
    };
    check("mixed-light", mixing(0.8), mixing(0.08));
    // A shadow's edge down the third column of the card, soft over a few pixels; and the penumbra of a far thing.
    let shaded = |soft: f64| {
        Shot::plain().lit(move |[x, y]| {
            let into = ((x + 0.02 * y - 0.28) / soft).clamp(-0.5, 0.5) + 0.5;
            [1.0 - 0.5 * into; 3]
        })
    };
    check("shade", shaded(0.004), shaded(0.9));
    // A beam of sun on the first column: of the others it cannot be said that a shadow is what they lie in.
    let sunny =
        |size: f64| Shot::plain().lit(move |[x, _]| [1.0 - size * (((x - 0.16) / 0.06).clamp(-0.5, 0.5) + 0.5); 3]);
    check("light-uneven", sunny(0.4), sunny(0.01));
    assert!(!sunny(0.4).read().codes().contains(&"shade"));
}

#[test]
fn tone_that_changes_from_place_to_place() {
    check(
        "local-tone",
        Shot::plain().painted(|rendered| local_tone(rendered, 60)),
        Shot::plain().with(|scene| scene.camera.tone = [0.6; 3]),
    );
}

#[test]
fn a_card_that_is_blurred_small_tilted_cut_off_or_mirrored() {
    let blurred = |blur: f64| Shot::plain().with(move |scene| scene.camera.blur_px = blur);
    // A pitch of the card is 101 px: a tenth of it takes the grain, a hundredth is the sharpness of most photos.
    check("blurred", blurred(10.0), blurred(1.0));
    check("blurred", blurred(18.0).by_hand(), blurred(2.0));
    check("card-small", Shot::of_bench(0.11).by_hand(), Shot::of_bench(0.5).by_hand());
    let tilted = |by: f64| {
        Shot::plain().with(move |scene| {
            let card = scene.card.as_mut().expect("a card");
            card.corners_px[0][1] += by;
            card.corners_px[3][1] -= by;
        })
    };
    check("tilted", tilted(50.0), tilted(12.0));
    let shifted = |by: f64| {
        Shot::plain().with(move |scene| {
            scene.card.iter_mut().for_each(|card| card.corners_px.iter_mut().for_each(|corner| corner[0] -= by))
        })
    };
    check("card-cut-off", shifted(320.0).by_hand(), shifted(60.0).by_hand());
    let turned = |mirrored: bool| {
        Shot::plain().with(move |scene| {
            if let (Some(card), true) = (&mut scene.card, mirrored) {
                let [a, b, c, d] = card.corners_px;
                card.corners_px = [b, a, d, c];
            }
        })
    };
    check("mirrored", turned(true), turned(false));
}

#[test]
fn a_card_that_is_dirty_wrong_or_not_there() {
    let (tables, observer) = (Tables::read().unwrap(), Observer::d50(&Tables::read().unwrap()).unwrap());
    // One patch covered by another patch's colour: green for blue.
    let dirty = |with: usize| {
        let cover = tables.chart[with].1;
        Shot::plain().with(move |scene| scene.card.iter_mut().for_each(|card| card.patches[12] = cover))
    };
    check("patch-hidden", dirty(13), dirty(12));
    // Every patch this far from its published colour, in directions that nothing in the fit can follow.
    let faded = |size: f64| -> Vec<Spectrum> {
        let directions = [
            [1.0, 0.0, 0.0],
            [0.0, 1.0, 0.0],
            [0.0, 0.0, 1.0],
            [-1.0, 0.0, 0.0],
            [0.0, -1.0, 0.0],
            [0.0, 0.0, -1.0],
            [0.6, 0.8, 0.0],
        ];
        (tables.chart.iter().enumerate())
            .map(|(k, (_, patch))| perturbed(&observer, patch, directions[(5 * k) % 7], size).unwrap_or(*patch))
            .collect()
    };
    let of_patches = |patches: Vec<Spectrum>| {
        Shot::plain().with(|scene| scene.card.iter_mut().for_each(|card| card.patches.clone_from(&patches))).by_hand()
    };
    let fading = |size: f64| of_patches(faded(size));
    check("poor-fit", fading(5.5), fading(1.0));
    // On such a card a patch may be far off without anything lying on it.
    let one_off = |size: f64| {
        let mut patches = faded(3.0);
        patches[15] = perturbed(&observer, &patches[15], [0.0, 1.0, 0.0], size).unwrap_or(patches[15]);
        of_patches(patches)
    };
    check("patch-off", one_off(12.0), one_off(2.0));
    check("wrong-card", fading(10.0), fading(1.0));
    check("no-card", Shot::plain().with(|scene| scene.card = None), Shot::plain());
}

/// Two patches exchanged, found or by corners: it is another card, and none of its colours is told. Two reds, whose exchange may be
/// a poor camera, are only named.
#[test]
fn a_card_with_patches_exchanged_is_another() {
    for (a, b) in [(7, 12), (1, 3), (0, 22), (6, 14), (2, 21)] {
        let exchanged =
            || Shot::plain().with(move |scene| scene.card.iter_mut().for_each(|card| card.patches.swap(a, b)));
        let (found, by_hand) = (exchanged().read(), exchanged().by_hand().read());
        for said in [&found, &by_hand] {
            assert!(said.reading.card.is_none() && said.reading.regions.is_empty(), "{a} and {b}: {:?}", said.codes());
        }
        assert!(by_hand.codes().contains(&"other-order"), "{a} and {b}: {:?}", by_hand.codes());
    }
}

/// The card's corners given on wood: no colour may be told by them.
#[test]
fn corners_by_hand_on_what_is_no_card_give_no_colours() {
    let said = Shot::plain()
        .with(|scene| scene.card.iter_mut().for_each(|card| card.patches = vec![Spectrum::flat(0.4); 24]))
        .by_hand()
        .read();
    assert!(said.reading.card.is_none() && said.reading.regions.is_empty());
    assert!(said.codes().contains(&"wrong-card"), "{:?}", said.codes());
}

#[test]
fn regions_that_clip_lie_far_or_show_too_little() {
    let bright = |share: f64| {
        Shot::plain().painted(move |rendered| {
            let panel = rendered.truth.panels[0].polygon_px.clone();
            let middle = [0, 1].map(|axis| panel.iter().map(|corner| corner[axis]).sum::<f64>() / panel.len() as f64);
            spot(rendered, middle, [400.0, 300.0], share);
        })
    };
    check("region-clipped", bright(0.03), bright(0.002));
    check("region-overexposed", bright(0.3), bright(0.03));
    let at = |corner: [f64; 2]| Shot::of_bench(0.22).by_hand().region(square(corner, 100.0));
    check("region-far", at([1480.0, 1080.0]), at([800.0, 500.0]));
    // Across the seam of two boards: half one colour, half the other.
    let seam = |side: f64| {
        Shot::plain()
            .with(|scene| {
                let dark = scene.surfaces[1].clone();
                scene.surfaces.truncate(2);
                scene.surfaces[1].corners_px = [[900.0, 100.0], [1100.0, 100.0], [1100.0, 700.0], [900.0, 700.0]];
                scene.surfaces.push(dark);
                scene.surfaces[2].corners_px = [[1100.0, 100.0], [1300.0, 100.0], [1300.0, 700.0], [1100.0, 700.0]];
                scene.surfaces[1].material = Material::Flat(Spectrum::flat(0.5));
                scene.surfaces[2].material = Material::Flat(Spectrum::flat(0.2));
            })
            .region(square([1100.0 - side / 2.0, 200.0], side))
    };
    let board = Shot::plain();
    check("region-uneven", seam(160.0), board);
    check("region-few-grains", seam(10.0), seam(160.0));
}

/// Glints are no colour of the wood: few of them widen what is stated so that it holds the colour without them.
#[test]
fn a_region_with_glints_is_stated_wider() {
    let read = |share: f64| {
        let said = Shot::plain()
            .painted(move |rendered| {
                let panel = rendered.truth.panels[0].polygon_px.clone();
                let middle =
                    [0, 1].map(|axis| panel.iter().map(|corner| corner[axis]).sum::<f64>() / panel.len() as f64);
                spot(rendered, middle, [400.0, 300.0], share);
            })
            .read();
        rendered::panels(&said.reading, &said.truth).swap_remove(0)
    };
    let (clean, glinting) = (read(0.0), read(0.03));
    assert!(clean.stated.holds() && glinting.stated.holds(), "{:?} {:?}", clean.stated, glinting.stated);
    assert!(glinting.stated.half_width > 1.3 * clean.stated.half_width, "{:?} {:?}", clean.stated, glinting.stated);
}

#[test]
fn regions_that_are_not_in_the_photo() {
    let inside = || Shot::plain().region(square([900.0, 300.0], 100.0));
    check("region-outside", Shot::plain().region(square([2000.0, 300.0], 100.0)), inside());
    check("region-cut-off", Shot::plain().region(square([1550.0, 300.0], 100.0)), inside());
    check("region-small", Shot::plain().region(square([900.0, 300.0], 5.0)), inside());
    check("region-unusable", Shot::plain().region(vec![[900.0, 300.0], [950.0, 300.0]]), inside());
}

#[test]
fn photos_that_are_not_as_the_camera_saved_them() {
    let noisy = || Shot::plain().with(|scene| (scene.camera.shot_noise, scene.file.quality) = (0.03, 97));
    for factor in [1.5, 3.0] {
        check("enlarged", noisy().enlarged(factor), noisy());
    }
    let quality = |quality: u8| Shot::plain().with(move |scene| scene.file.quality = quality);
    check("compressed", quality(8), quality(80));
    check("compressed", quality(30), quality(80));
    for more in [[0, 0], [3, 5]] {
        let fine = || Shot::plain().with(|scene| scene.file.quality = 95);
        let before = |quality: u8| fine().saved_before(quality, more);
        check("compressed", before(8), Shot::plain());
        check("compressed", before(30), before(80));
    }
    check("no-profile", Shot::plain().with(|scene| scene.file.profile = scene::Profile::Plain), Shot::plain());
}
