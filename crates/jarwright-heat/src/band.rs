//! Equations whose matrix is a band round its diagonal, solved in place.

/// A square matrix with so many bands on either side of its diagonal; its diagonal outweighs its
/// columns, so that no rows change places.
#[derive(Debug, Clone)]
pub(crate) struct Band {
    side: usize,
    width: usize,
    values: Vec<f64>,
}

impl Band {
    pub(crate) fn new(rows: usize, side: usize) -> Self {
        let width = 2 * side + 1;
        Self {
            side,
            width,
            values: vec![0.0; rows * width],
        }
    }

    pub(crate) fn clear(&mut self) {
        self.values.fill(0.0);
    }

    pub(crate) fn add(&mut self, row: usize, column: usize, value: f64) {
        self.values[row * self.width + column + self.side - row] += value;
    }

    /// Into a lower part with ones on its diagonal and an upper part, in the matrix's place.
    pub(crate) fn factor(&mut self) {
        let (side, width) = (self.side, self.width);
        let rows = self.values.len() / width;
        for row in 0..rows {
            let (done, rest) = self.values.split_at_mut((row + 1) * width);
            let pivot_row = &done[row * width + side..];
            let (pivot, right) = (1.0 / pivot_row[0], &pivot_row[1..]);
            for (below, line) in rest.chunks_exact_mut(width).take(side).enumerate() {
                let at = side - 1 - below;
                let share = line[at] * pivot;
                if share != 0.0 {
                    line[at] = share;
                    for (value, above) in line[at + 1..=at + side].iter_mut().zip(right) {
                        *value -= share * above;
                    }
                }
            }
        }
    }

    /// Solves for a right side, in its place; the matrix factored.
    pub(crate) fn solve(&self, x: &mut [f64]) {
        let (side, width) = (self.side, self.width);
        for row in 0..x.len() {
            let reach = side.min(row);
            let line = &self.values[row * width + side - reach..row * width + side];
            x[row] -= product(line, &x[row - reach..row]);
        }
        for row in (0..x.len()).rev() {
            let reach = side.min(x.len() - 1 - row);
            let line = &self.values[row * width + side..=row * width + side + reach];
            x[row] = (x[row] - product(&line[1..], &x[row + 1..=row + reach])) / line[0];
        }
    }
}

/// Sum of products, in four sums side by side: no one waits for another.
fn product(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; 4];
    let (fours, others) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = fours
        .remainder()
        .iter()
        .zip(others.remainder())
        .map(|(a, b)| a * b)
        .sum();
    for (a, b) in fours.zip(others) {
        for ((sum, a), b) in sums.iter_mut().zip(a).zip(b) {
            *sum += a * b;
        }
    }
    sums.iter().sum::<f64>() + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_solved_gives_its_right_side_back() {
        let (rows, side) = (23, 4);
        let entry = |i: usize, j: usize| {
            if i == j {
                9.0
            } else {
                -0.2 * ((i * 7 + j * 3) % 5) as f64
            }
        };
        let near = |i: usize| i.saturating_sub(side)..(i + side + 1).min(rows);
        let mut band = Band::new(rows, side);
        let wanted: Vec<f64> = (0..rows).map(|i| (i as f64).sin()).collect();
        let mut x: Vec<f64> = (0..rows)
            .map(|i| near(i).map(|j| entry(i, j) * wanted[j]).sum())
            .collect();
        for i in 0..rows {
            for j in near(i) {
                band.add(i, j, entry(i, j));
            }
        }
        band.factor();
        band.solve(&mut x);
        assert!(x.iter().zip(&wanted).all(|(a, b)| (a - b).abs() < 1e-12));
    }
}
