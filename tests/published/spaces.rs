//! CIELAB, XYZ, xyY, sRGB, adaptation and white points.

use crate::table::{Table, close};
use colour::{Lab, Xyz, adaptation, lab_from_xyz, rgb, white, xyz_from_lab};
use nalgebra::{Matrix3, Vector3};
use palette::{IntoColor, encoding, rgb::Rgb, white_point};
use proptest::prelude::*;

/// Tables with six to ten decimals at a scale of 100: a unit of the coarsest last digit.
const SPACE: f64 = 1e-6;

/// Ten-decimal tables.
const TEN: f64 = 1e-10;

/// The four-decimal matrix of IEC 61966-2-1:1999 against the exact one of its primaries: rounding, in XYZ with Y = 1.
const FOUR_DECIMALS: f64 = 2e-4;

fn white_named(name: &str) -> Vector3<f64> {
    match name {
        "A" => white::A,
        "C" => white::C,
        "D50" => white::D50,
        "D65" => white::D65,
        _ => panic!("no white {name}"),
    }
}

/// CIE 15:2004, 8.2.1; cases computed by colour-science 0.4.7 and colorspacious 1.1.2.
#[test]
fn lab_and_xyz_cases() {
    for row in Table::read("lab_xyz_cases.csv", 28).rows() {
        let (lab, xyz) = (row.numbers(["L", "a", "b"]), row.numbers(["X", "Y", "Z"]));
        let white = white_named(row.text("white"));
        let scaled = Vector3::from(xyz) / 100.0;
        close(white::lab_relative(scaled, white), lab, SPACE, "lab_relative");
        close((white::xyz_relative(lab, white) * 100.0).into(), xyz, 1e-9, "xyz_relative");
        if row.text("white") == "D50" {
            let found = lab_from_xyz(Xyz::new(scaled.x, scaled.y, scaled.z));
            close([found.l, found.a, found.b], lab, SPACE, "lab_from_xyz");
            let found = xyz_from_lab(Lab::new(lab[0], lab[1], lab[2]));
            close([found.x * 100.0, found.y * 100.0, found.z * 100.0], xyz, 1e-9, "xyz_from_lab");
        }
    }
}

/// IEC 61966-2-1:1999; values checked by colour-science 0.4.7.
#[test]
fn srgb_transfer() {
    for row in Table::read("srgb_transfer.csv", 22).rows() {
        let [code, linear] = row.numbers(["code8", "linear"]);
        close([rgb::linear_from_srgb(code / 255.0)], [linear], 1e-11, "linear_from_srgb");
        close([rgb::srgb_from_linear(linear) * 255.0], [code], 1e-6, "srgb_from_linear");
    }
}

/// IEC 61966-2-1:1999 with its four-decimal matrix, Lab relative to the sum of its rows.
#[test]
fn srgb_to_xyz_and_lab() {
    let own_white = rgb::XYZ_D65_FROM_LINEAR_SRGB * Vector3::repeat(1.0);
    for row in Table::read("srgb_xyz_lab_cases.csv", 16).rows() {
        let code = row.numbers(["R", "G", "B"]);
        let linear = Vector3::from(code.map(|c| rgb::linear_from_srgb(c / 255.0)));
        let xyz = rgb::XYZ_D65_FROM_LINEAR_SRGB * linear;
        close((xyz * 100.0).into(), row.numbers(["X", "Y", "Z"]), SPACE, "XYZ of sRGB");
        close(white::lab_relative(xyz, own_white), row.numbers(["L", "a", "b"]), SPACE, "Lab of sRGB");
        // Through Bradford to D50 and back to the code.
        let code = code.map(|c| c as u8);
        let swatch = rgb::srgb8_from_lab(rgb::lab_from_srgb8(code));
        assert_eq!((swatch.code, swatch.in_gamut), (code, true));
        // The library, which adapts nothing, at D65.
        let library: palette::Xyz<white_point::D65, f64> =
            palette::LinSrgb::new(linear.x, linear.y, linear.z).into_color();
        close(xyz.into(), [library.x, library.y, library.z], FOUR_DECIMALS, "palette");
    }
}

/// The matrix of sRGB at D50 as published from the exact primaries: B. Lindbloom, 'RGB/XYZ matrices', sRGB adapted to
/// D50 by Bradford; the four-decimal matrix of the standard explains the tolerance.
#[test]
fn srgb_at_d50() {
    let published =
        Matrix3::new(0.4360747, 0.3850649, 0.1430804, 0.2225045, 0.7168786, 0.0606169, 0.0139322, 0.0971045, 0.7141733);
    let off = (rgb::xyz_from_linear_srgb_matrix() - published).amax();
    assert!(off < FOUR_DECIMALS, "{off}");
}

/// ROMM RGB (ISO 22028-2): B. Lindbloom's matrix for it at D50, seven decimals, and `palette`'s type for it.
#[test]
fn wide_gamut_rgb() {
    let published = Matrix3::new(0.7976749, 0.1351917, 0.0313534, 0.2880402, 0.7118741, 0.0000857, 0.0, 0.0, 0.8252100);
    let off = (rgb::xyz_from_linear_wide_matrix() - published).amax();
    assert!(off < 1e-7, "{off}");
    for linear in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.3, 0.2, 0.1]] {
        let library: palette::Xyz<white_point::D50, f64> =
            Rgb::<encoding::Linear<encoding::ProPhotoRgb>, f64>::new(linear[0], linear[1], linear[2]).into_color();
        let ours = rgb::xyz_from_linear_wide(linear);
        close([ours.x, ours.y, ours.z], [library.x, library.y, library.z], FOUR_DECIMALS, "palette");
    }
}

/// CIE 15:2004, 7.3; checked by colour-science 0.4.7.
#[test]
fn xy_to_xyz() {
    for row in Table::read("xyY_xyz_cases.csv", 7).rows() {
        let [x, y, luminance] = row.numbers(["x", "y", "Y"]);
        let xyz = white::xyz_from_xy(x, y, luminance);
        close(xyz.into(), row.numbers(["X", "Yout", "Z"]), 1e-9, "xyz_from_xy");
        if let Some(back) = white::xy_from_xyz(xyz) {
            close(back, [x, y], TEN, "xy_from_xyz");
        } else {
            assert_eq!(luminance, 0.0);
        }
    }
}

/// Bradford, CAT02, CAT16, von Kries, XYZ scaling between A, C, D50, D65; colour-science 0.4.7.
#[test]
fn adaptation_matrices() {
    for row in Table::read("adaptation_matrices.csv", 20).rows() {
        let cones = match row.text("cat") {
            "Bradford" => adaptation::BRADFORD,
            "CAT02" => adaptation::CAT02,
            "CAT16" => adaptation::CAT16,
            "Von Kries" => adaptation::HUNT_POINTER_ESTEVEZ,
            "XYZ Scaling" => Matrix3::identity(),
            other => panic!("no cones {other}"),
        };
        let found = adaptation::von_kries(&cones, white_named(row.text("src")), white_named(row.text("dst"))).unwrap();
        let expected = row.numbers(["m00", "m01", "m02", "m10", "m11", "m12", "m20", "m21", "m22"]);
        let found: [f64; 9] = std::array::from_fn(|i| found[(i / 3, i % 3)]);
        close(found, expected, TEN, row.text("cat"));
    }
}

/// Bradford from D65 to D50 as published by B. Lindbloom (header of adaptation_matrices.csv), seven decimals.
#[test]
fn bradford_as_published() {
    let published = Matrix3::new(
        1.0478112, 0.0228866, -0.0501270, 0.0295424, 0.9904844, -0.0170491, -0.0092345, 0.0150436, 0.7521316,
    );
    assert!((adaptation::bradford(white::D65, white::D50).unwrap() - published).amax() < 0.6e-7);
}

/// ASTM E308-15, Table 5, 2° observer, and the library's white points.
#[test]
fn white_points() {
    let table = Table::read("white_points.csv", 26);
    let mut seen = 0;
    for row in table.rows().filter(|row| row.text("observer_deg") == "2") {
        if !["A", "C", "D50", "D65"].contains(&row.text("illuminant")) {
            continue;
        }
        let ours = white_named(row.text("illuminant"));
        close((ours * 100.0).into(), row.numbers(["X_E308", "Y_E308", "Z_E308"]), TEN, row.text("illuminant"));
        close((ours * 100.0).into(), row.numbers(["X5", "Y5", "Z5"]), 0.02, "5 nm summation, tolerance of the table");
        close(white::xy_from_xyz(ours).unwrap(), row.numbers(["x", "y"]), 3e-5, "chromaticity");
        seen += 1;
    }
    assert_eq!(seen, 4);
    use palette::white_point::WhitePoint;
    let library: palette::Xyz<palette::white_point::Any, f64> = white_point::D50::get_xyz();
    close(white::D50.into(), [library.x, library.y, library.z], 0.0, "palette D50");
}

proptest! {
    #[test]
    fn rgb_comes_back(r in -0.5..1.5, g in -0.5..1.5, b in -0.5..1.5) {
        close(rgb::linear_srgb_from_xyz(rgb::xyz_from_linear_srgb([r, g, b])), [r, g, b], 1e-13, "sRGB");
        close(rgb::linear_wide_from_xyz(rgb::xyz_from_linear_wide([r, g, b])), [r, g, b], 1e-13, "wide");
        close([rgb::linear_from_srgb(rgb::srgb_from_linear(r))], [r], 1e-7, "transfer, across its tiny step at 0.04045");
    }

    #[test]
    fn transfer_rises(a in 0.0..1.0, more in 1e-4..0.5) {
        prop_assert!(rgb::linear_from_srgb(a + more) > rgb::linear_from_srgb(a));
    }
}
