//! Weighted least squares: the line, or the bent line, that lies nearest to what was read.

/// A solution, with what is needed to say how sure it is.
#[derive(Clone, Debug)]
pub struct Solved {
    /// A number for each column.
    pub numbers: Vec<f64>,
    /// Sum of squared residuals, each over its standard uncertainty.
    pub rest: f64,
    /// Inverse of the triangle the columns were brought to.
    inverse: Vec<Vec<f64>>,
    /// The columns, square to one another and of length 1.
    square: Vec<Vec<f64>>,
    /// What of the readings they leave.
    left: Vec<f64>,
}

impl Solved {
    /// Of columns and readings that are divided by the readings' standard uncertainties already; none where a
    /// column is made up of those before it.
    ///
    /// Columns are made square to one another, twice, so that rounding does not grow (modified Gram-Schmidt).
    pub fn of(columns: Vec<Vec<f64>>, mut readings: Vec<f64>) -> Option<Self> {
        let count = columns.len();
        let mut triangle = vec![vec![0.0; count]; count];
        let (mut shares, mut square) = (Vec::with_capacity(count), Vec::<Vec<f64>>::with_capacity(count));
        for (at, mut own) in columns.into_iter().enumerate() {
            let whole = length(&own);
            for _ in 0..2 {
                for (row, other) in square.iter().enumerate() {
                    triangle[row][at] += taken_out(&mut own, other);
                }
            }
            let left = length(&own);
            if left.is_nan() || left <= 1e-10 * whole {
                return None;
            }
            for value in &mut own {
                *value /= left;
            }
            triangle[at][at] = left;
            shares.push(taken_out(&mut readings, &own));
            square.push(own);
        }
        let inverse = inverse(&triangle);
        let numbers = inverse.iter().map(|row| dot(row, &shares)).collect();
        let rest = dot(&readings, &readings);
        Some(Self { numbers, rest, inverse, square, left: readings })
    }

    /// Sum of squares that one more column would leave; none where it is made up of the others.
    pub(super) fn rest_with(&self, mut column: Vec<f64>) -> Option<f64> {
        let whole = length(&column);
        for other in self.square.iter().chain(&self.square) {
            taken_out(&mut column, other);
        }
        let own = length(&column);
        let share = dot(&column, &self.left) / own;
        (own > 1e-10 * whole).then(|| (self.rest - share * share).max(0.0))
    }

    /// Standard uncertainty of so much of each number, added up, where the readings' own are right; numbers at the end
    /// that count for nothing need not be named.
    pub fn uncertainty(&self, of: &[f64]) -> f64 {
        let part = |column: usize| {
            let parts = of.iter().zip(&self.inverse).map(|(share, row)| share * row[column]);
            parts.sum::<f64>()
        };
        libm::sqrt((0..self.inverse.len()).map(|column| part(column) * part(column)).sum())
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn length(of: &[f64]) -> f64 {
    libm::sqrt(dot(of, of))
}

/// Takes out of a column what lies along another of length 1, and gives how much that was.
fn taken_out(of: &mut [f64], along: &[f64]) -> f64 {
    let share = dot(of, along);
    for (value, unit) in of.iter_mut().zip(along) {
        *value -= share * unit;
    }
    share
}

/// The inverse of an upper triangle.
fn inverse(triangle: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let count = triangle.len();
    let column = |column: usize| {
        let mut found = vec![0.0; count];
        for row in (0..=column).rev() {
            let known: f64 = (row + 1..=column).map(|at| triangle[row][at] * found[at]).sum();
            let wanted = if row == column { 1.0 } else { 0.0 };
            found[row] = (wanted - known) / triangle[row][row];
        }
        found
    };
    let columns: Vec<Vec<f64>> = (0..count).map(column).collect();
    (0..count).map(|row| columns.iter().map(|column| column[row]).collect()).collect()
}
