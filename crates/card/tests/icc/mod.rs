//! Profiles made of tables, written by ICC.1:2022 from sRGB; numbers in brackets are its clauses. The bench of decoding
//! takes photos through the same.

use colour::rgb::linear_from_srgb;
use colour::{Lab, Xyz, lab_from_xyz};

/// sRGB at D50 by linear Bradford: the colorants of the ICC's own sRGB profiles.
const XYZ_FROM_SRGB: [[f64; 3]; 3] =
    [[0.43607, 0.38515, 0.14307], [0.22249, 0.71687, 0.06061], [0.01392, 0.09708, 0.71410]];

fn xyz(linear: [f64; 3]) -> [f64; 3] {
    XYZ_FROM_SRGB.map(|row| row.iter().zip(linear).map(|(m, light)| m * light).sum())
}

fn be16(values: impl IntoIterator<Item = f64>) -> Vec<u8> {
    values.into_iter().flat_map(|value| (value.round().clamp(0.0, 65535.0) as u16).to_be_bytes()).collect()
}

/// The connection values at each point of a grid of `side` over red, green and blue, blue running fastest (10.10).
fn grid(side: usize, at: impl Fn([f64; 3]) -> [f64; 3]) -> Vec<f64> {
    let top = (side - 1) as f64;
    (0..side.pow(3))
        .flat_map(|k| at([k / side / side, k / side % side, k % side].map(|index| index as f64 / top)))
        .collect()
}

/// CIELAB of sRGB codes 0..=1.
fn lab(codes: [f64; 3]) -> Lab {
    let [x, y, z] = xyz(codes.map(linear_from_srgb));
    lab_from_xyz(Xyz::new(x, y, z))
}

/// A profile of one table: header (7.2), tag table (7.3), the tag.
pub(crate) fn profile(version: u8, connection: &[u8; 4], tag: &[u8; 4], table: &[u8]) -> Vec<u8> {
    let mut bytes = (144 + table.len() as u32).to_be_bytes().to_vec();
    bytes.extend([0, 0, 0, 0, version, 0, 0, 0]);
    bytes.extend(b"scnrRGB ");
    bytes.extend(connection);
    bytes.resize(36, 0);
    bytes.extend(b"acsp");
    bytes.resize(64, 0);
    bytes.extend([0, 0, 0, 1]);
    bytes.extend([0x0000_F6D6u32, 0x0001_0000, 0x0000_D32D].iter().flat_map(|value| value.to_be_bytes()));
    bytes.resize(128, 0);
    bytes.extend([0, 0, 0, 1]);
    bytes.extend(tag);
    bytes.extend([144, table.len() as u32].iter().flat_map(|value| value.to_be_bytes()));
    bytes.extend(table);
    bytes
}

fn head(kind: &[u8; 4], side: u8) -> Vec<u8> {
    let mut bytes = kind.to_vec();
    bytes.extend([0, 0, 0, 0, 3, 3, side, 0]);
    bytes.extend([1i32 << 16, 0, 0, 0, 1 << 16, 0, 0, 0, 1 << 16].iter().flat_map(|value| value.to_be_bytes()));
    bytes
}

/// lut8Type (10.11): L* 0..100 as 0..255, a* and b* with 128 added.
fn lut8(side: usize) -> Vec<u8> {
    let ramps = || (0..3).flat_map(|_| 0..=255u8);
    let values = grid(side, |codes| {
        let lab = lab(codes);
        [lab.l * 2.55, lab.a + 128.0, lab.b + 128.0]
    });
    let mut bytes = head(b"mft1", side as u8);
    bytes.extend(ramps().chain(values.iter().map(|value| value.round() as u8)).chain(ramps()));
    bytes
}

/// lut16Type (10.10) with CIELAB in its legacy 16-bit encoding: L* 0..100 as 0..0xFF00, a* and b* times 256.
pub(crate) fn lut16_lab(side: usize) -> Vec<u8> {
    let values = grid(side, |codes| {
        let lab = lab(codes);
        [lab.l * 652.8, (lab.a + 128.0) * 256.0, (lab.b + 128.0) * 256.0]
    });
    let ramps = || (0..3).flat_map(|_| [0.0, 65535.0]);
    let mut bytes = head(b"mft2", side as u8);
    bytes.extend(be16([2.0, 2.0]));
    bytes.extend(be16(ramps().chain(values).chain(ramps())));
    bytes
}

/// lut16Type with XYZ, 1.0 as 32 768: curves of 1024 entries to linear light, then a grid of its corners: no error of its own.
fn lut16_xyz() -> Vec<u8> {
    let curve = || (0..1024).map(|k| 65535.0 * linear_from_srgb(f64::from(k) / 1023.0));
    let mut bytes = head(b"mft2", 2);
    bytes.extend(be16([1024.0, 2.0]));
    let corners = grid(2, |linear| xyz(linear).map(|value| 32768.0 * value));
    bytes.extend(be16(curve().chain(curve()).chain(curve()).chain(corners).chain([0.0, 65535.0].repeat(3))));
    bytes
}

/// lutAToBType (10.12): curves A, a grid in CIELAB (L* 0..100 as 0..65 535, a* and b* with 128 added, times 257), curves B.
pub(crate) fn a_to_b(side: usize) -> Vec<u8> {
    // parametricCurveType (10.18), function 0: exponent 1.
    let straight = || {
        let mut curve = b"para\0\0\0\0\0\0\0\0".to_vec();
        curve.extend((1u32 << 16).to_be_bytes());
        curve
    };
    let values = grid(side, |codes| {
        let lab = lab(codes);
        [lab.l * 655.35, (lab.a + 128.0) * 257.0, (lab.b + 128.0) * 257.0]
    });
    let mut table = vec![0u8; 16];
    table[..3].fill(side as u8);
    table.extend([2, 0, 0, 0]);
    table.extend(be16(values));
    table.resize(table.len().next_multiple_of(4), 0);
    let mut bytes = b"mAB \0\0\0\0\x03\x03\0\0".to_vec();
    let (b, clut) = (32u32, 32 + 48);
    bytes.extend([b, 0, 0, clut, clut + table.len() as u32].iter().flat_map(|offset| offset.to_be_bytes()));
    for curve in 0..3 {
        assert_eq!(bytes.len(), 32 + 16 * curve);
        bytes.extend(straight());
    }
    bytes.extend(table);
    (0..3).for_each(|_| bytes.extend(straight()));
    bytes
}

/// Each type of table, in each version that may hold it.
pub(crate) fn tables() -> [(&'static str, Vec<u8>); 7] {
    [
        ("lut8 of version 2", profile(2, b"Lab ", b"A2B0", &lut8(33))),
        ("lut8 of version 4", profile(4, b"Lab ", b"A2B0", &lut8(33))),
        ("lut16 of version 2", profile(2, b"Lab ", b"A2B0", &lut16_lab(33))),
        ("lut16 of version 4", profile(4, b"Lab ", b"A2B1", &lut16_lab(33))),
        ("lut16, 17 points", profile(2, b"Lab ", b"A2B1", &lut16_lab(17))),
        ("lut16 in XYZ", profile(2, b"XYZ ", b"A2B0", &lut16_xyz())),
        ("A to B", profile(4, b"Lab ", b"A2B1", &a_to_b(33))),
    ]
}
