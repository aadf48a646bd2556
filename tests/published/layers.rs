//! K/S, finite films, the surface of a film: Kubelka, Munk (1931); Kubelka (1948); Saunderson (1942); Judd (1942). The
//! tables in tests/data name their sources.

use crate::table::{Table, close};
use colour::layers::{Film, ks_from_r, r_from_ks};
use colour::saunderson::{Interface, Specular, k1_diffuse, k1_normal, k2_diffuse};

/// Tables with ten decimals.
const TEN: f64 = 0.6e-10;

/// Tables with five or six decimals, made by numeric integration.
const FIVE: f64 = 1e-5;

#[test]
fn ks_and_back() {
    for row in Table::read("ks_from_r.csv", 19).rows() {
        let [r, ks, back] = row.numbers(["R", "K_over_S", "R_back"]);
        close([ks_from_r(r)], [ks], TEN, "K/S");
        close([r_from_ks(ks_from_r(r))], [back], TEN, "R");
    }
}

/// With films that only absorb (S = 0, Beer–Lambert) and only scatter (K = 0) among them.
#[test]
fn finite_films() {
    for row in Table::read("km_finite_layer.csv", 78).rows() {
        let [k, s, thickness, ground, alone, through, over] = row.numbers(["K", "S", "X", "Rg", "R0", "T", "R"]);
        let film = Film { k, s, thickness };
        close(
            [film.reflectance(), film.transmittance(), film.over(ground)],
            [alone, through, over],
            TEN,
            &format!("K {k} S {s} X {thickness} over {ground}"),
        );
    }
}

#[test]
fn surfaces() {
    for row in Table::read("saunderson.csv", 65).rows() {
        let [outside, inside, internal] = row.numbers(["k1", "k2", "R_internal"]);
        let surface = Interface { outside, inside };
        for (specular, column) in [(Specular::Included, "R_meas_spin"), (Specular::Excluded, "R_meas_spex")] {
            let measured = row.number(column);
            close([surface.measured_from_internal(internal, specular)], [measured], TEN, column);
            // The way back stretches the table's rounding at most 20-fold, where k₂ holds most back.
            close([surface.internal_from_measured(measured, specular)], [internal], 20.0 * TEN, column);
        }
    }
}

#[test]
fn fresnel() {
    for row in Table::read("fresnel_k1_k2.csv", 8).rows() {
        let n = row.number("n");
        let expected = row.numbers(["K1_normal", "K1_diffuse", "K2_diffuse"]);
        close([k1_normal(n), k1_diffuse(n), k2_diffuse(n)], expected, FIVE, &format!("n = {n}"));
    }
    // Judd (1942), n = 1.5, four decimals.
    close([k1_normal(1.5), k1_diffuse(1.5), k2_diffuse(1.5)], [0.04, 0.0918, 0.5963], 1e-4, "Judd");
}
