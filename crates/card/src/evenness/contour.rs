//! Lines of equal difference over the photo.

use super::Map;

impl Map {
    /// The lines along which the difference crosses `level`, as pieces from point to point in photo pixels.
    ///
    /// # Source
    /// Marching squares: Lorensen, Cline (1987), DOI 10.1145/37402.37422, in two dimensions; a square crossed twice is
    /// cut by its mean.
    pub fn contours(&self, level: f32) -> Vec<[[f64; 2]; 2]> {
        let mut lines = Vec::new();
        for row in 1..self.rows {
            for column in 1..self.columns {
                self.square(column - 1, row - 1, level, &mut lines);
            }
        }
        lines
    }

    fn square(&self, column: usize, row: usize, level: f32, lines: &mut Vec<[[f64; 2]; 2]>) {
        const CORNERS: [[usize; 2]; 4] = [[0, 0], [1, 0], [1, 1], [0, 1]];
        let value = CORNERS.map(|[x, y]| self.signed_de00[(row + y) * self.columns + column + x].abs());
        if value.iter().any(|value| value.is_nan()) {
            return;
        }
        let above = value.map(|value| value > level);
        let crossed: Vec<[f64; 2]> = (0..4)
            .filter(|&side| above[side] != above[(side + 1) % 4])
            .map(|side| {
                let (from, to) = (side, (side + 1) % 4);
                let part = f64::from((level - value[from]) / (value[to] - value[from]));
                let at = |axis: usize| {
                    let [a, b] = [CORNERS[from][axis] as f64, CORNERS[to][axis] as f64];
                    let cell = [column, row][axis] as f64 + 0.5 + a + part * (b - a);
                    self.origin_px[axis] + cell * self.cell_px
                };
                [at(0), at(1)]
            })
            .collect();
        match crossed[..] {
            [a, b] => lines.push([a, b]),
            [a, b, c, d] => {
                let middle = value.iter().sum::<f32>() / 4.0 > level;
                // The corners on the middle's side hang together, so each line cuts off one of the others.
                lines.extend(if middle == above[0] { [[a, b], [c, d]] } else { [[d, a], [b, c]] });
            }
            _ => {}
        }
    }
}
