//! Colouring out: against every mix there is, reckoned again from the formulae, and against known mixes.

use ::piece::*;
use colour::{Lab, de2000};
use predict::{Stick, colouring_out, draws};

use crate::bench::Bench;

fn stick(name: &str, [l, a, b]: [f64; 3]) -> Stick {
    Stick { name: name.into(), lab: Lab::new(l, a, b) }
}

/// Invented sticks.
fn box_of_sticks() -> Vec<Stick> {
    vec![
        stick("light oak", [72.0, 9.0, 30.0]),
        stick("amber", [56.0, 24.0, 45.0]),
        stick("mahogany", [33.0, 24.0, 18.0]),
        stick("umber", [28.0, 7.0, 10.0]),
        stick("black", [12.0, 0.0, 0.0]),
        stick("white", [92.0, 0.0, 4.0]),
    ]
}

fn spot([l, a, b]: [f64; 3]) -> (Piece, ReadingId) {
    let mut bench = Bench::new();
    let part = bench.part("top", "oak", Construction::Solid, 0.5);
    let reading = bench.read(Surface::Part(part), State::BareDry, [l, a, b], "spot");
    (bench.piece, reading)
}

/// K/S of the smoothest curve of each stick in proportion to parts (Duncan 1940), back by Kubelka and Munk (1931). Only
/// the recovery of the curve and the sums over the spectrum are the program's own; both are held against published figures
/// in tests/published.
fn mixed(sticks: &[Stick], parts: &[(usize, u32)]) -> Lab {
    let all: u32 = parts.iter().map(|(_, parts)| parts).sum();
    let mut ks = [0.0; colour::spectrum::BANDS];
    for (stick, parts) in parts {
        let curve = colour::reflectance::reflectance_from_xyz(colour::xyz_from_lab(sticks[*stick].lab)).unwrap();
        for (sum, r) in ks.iter_mut().zip(curve.reflectance) {
            *sum += f64::from(*parts) / f64::from(all) * (1.0 - r) * (1.0 - r) / (2.0 * r);
        }
    }
    let curve = ks.map(|q| 1.0 + q - (q * q + 2.0 * q).sqrt());
    colour::lab_from_xyz(colour::spectrum::xyz_from_reflectance(&curve))
}

#[test]
fn no_mix_of_whole_parts_is_better() {
    let sticks = box_of_sticks();
    let mut looked_at = 0;
    for lab in [[48.0, 17.0, 28.0], [61.0, 12.0, 30.0], [25.0, 10.0, 9.0], [80.0, 4.0, 16.0]] {
        let (piece, id) = spot(lab);
        let best = colouring_out(&piece, id, &sticks).unwrap();
        let at = Lab::new(lab[0], lab[1], lab[2]);
        let found = best.iter().map(|mix| de2000(mix.lab, at)).fold(f64::INFINITY, f64::min);
        let mut least = f64::INFINITY;
        for i in 0..sticks.len() {
            for j in i..sticks.len() {
                for k in j..sticks.len() {
                    for a in 1..=12u32 {
                        for b in 0..=12 - a {
                            for c in 0..=12 - a - b {
                                let parts: Vec<(usize, u32)> =
                                    [(i, a), (j, b), (k, c)].into_iter().filter(|(_, parts)| *parts > 0).collect();
                                // One in seven, by turns, to keep the test short.
                                looked_at += 1;
                                if looked_at % 7 == 0 {
                                    least = least.min(de2000(mixed(&sticks, &parts), at));
                                }
                            }
                        }
                    }
                }
            }
        }
        assert!(found <= least + 0.02, "{lab:?}: found {found}, there is {least}");
        for mix in &best {
            assert!(mix.parts.len() <= 3 && mix.parts.iter().map(|(_, parts)| parts).sum::<u32>() <= 12);
            assert!(de2000(mix.lab, mixed(&sticks, &mix.parts)) < 1e-6, "{}", mix.words);
        }
        let counts: Vec<usize> = best.iter().map(|mix| mix.parts.len()).collect();
        let mut each = counts.clone();
        each.sort_unstable();
        assert_eq!(each, [1, 2, 3]);
    }
}

#[test]
fn a_mix_that_was_made_is_found_again() {
    let sticks = box_of_sticks();
    for parts in [vec![(1, 3), (3, 1)], vec![(0, 7), (2, 2), (4, 1)], vec![(3, 1)]] {
        let lab = mixed(&sticks, &parts);
        let (piece, id) = spot([lab.l, lab.a, lab.b]);
        let best = &colouring_out(&piece, id, &sticks).unwrap()[0];
        assert!(de2000(best.lab, lab) < 0.15, "{}: {}", best.words, de2000(best.lab, lab));
        assert!(best.de00.low == 0.0 && best.expected_de00 > 0.0);
    }
    assert_eq!(draws::COUNT, 512);
}

#[test]
fn no_sticks_and_no_spot_are_said() {
    let (piece, id) = spot([50.0, 10.0, 20.0]);
    let said = |result: predict::Result<Vec<predict::Mix>>| result.unwrap_err().to_string();
    assert!(said(colouring_out(&piece, id, &[])).contains("name at least one"));
    assert!(said(colouring_out(&piece, ReadingId(99), &box_of_sticks())).contains("r99"));
    let none = [stick("a slip of the pen", [f64::NAN, 0.0, 0.0])];
    assert!(said(colouring_out(&piece, id, &none)).contains("a slip of the pen"));
}
