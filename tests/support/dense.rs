//! The tests' own solver of networks: the whole tableau of node voltages and branch currents, solved by Gaussian
//! elimination in double-double arithmetic. It shares nothing with the program's solver and is far slower.
//!
//! The tableau (G. D. Hachtel, R. K. Brayton and F. G. Gustavson, 1971, from memory) writes Kirchhoff's current law
//! for every node but one an island and the branch's own equation for every branch, so joins and ideal sources need
//! no care. Double-double numbers (T. J. Dekker, 1971; about 31 digits) make its own error invisible here.

/// A branch: a source in series with a resistance, counted from `from` to `to`; the source raises `to`.
#[derive(Clone, Copy, Debug)]
pub struct Arm {
    pub from: usize,
    pub to: usize,
    pub ohms: f64,
    pub emf: f64,
}

/// Nodes 0 up to `nodes`, and their branches.
#[derive(Clone, Debug, Default)]
pub struct Net {
    pub nodes: usize,
    pub arms: Vec<Arm>,
    pub reference: Option<usize>,
}

/// Volts of each node, none where nothing joins it to the reference, and amps of each branch.
#[derive(Clone, Debug)]
pub struct Found {
    pub volts: Vec<Option<f64>>,
    pub amps: Vec<f64>,
}

impl Net {
    pub fn node(&mut self) -> usize {
        self.nodes += 1;
        self.nodes - 1
    }

    pub fn resist(&mut self, from: usize, to: usize, ohms: f64) {
        self.arms.push(Arm { from, to, ohms, emf: 0.0 });
    }

    /// For every node the lowest node it hangs together with, found by walking the branches.
    pub fn islands(&self) -> Vec<usize> {
        let mut beside = vec![Vec::new(); self.nodes];
        for arm in &self.arms {
            beside[arm.from].push(arm.to);
            beside[arm.to].push(arm.from);
        }
        let mut lowest = vec![usize::MAX; self.nodes];
        for start in 0..self.nodes {
            let mut waiting = vec![start];
            while let Some(node) = waiting.pop() {
                if lowest[node] == usize::MAX {
                    lowest[node] = start;
                    waiting.extend(&beside[node]);
                }
            }
        }
        lowest
    }

    /// Solves the network; none where it has no one answer (a loop of joins, sources that contradict).
    pub fn solve(&self) -> Option<Found> {
        let island = self.islands();
        let home = self.reference.map(|r| island[r]);
        let anchor = |node: usize| match self.reference {
            Some(r) if island[r] == island[node] => r == node,
            _ => island[node] == node,
        };
        let size = self.nodes + self.arms.len();
        let mut rows = vec![vec![Dd::ZERO; size + 1]; size];
        for (node, row) in rows.iter_mut().enumerate().take(self.nodes) {
            if anchor(node) {
                row[node] = Dd::ONE;
            }
        }
        for (a, arm) in self.arms.iter().enumerate() {
            let current = self.nodes + a;
            if !anchor(arm.from) {
                rows[arm.from][current] = rows[arm.from][current].plus(Dd::ONE);
            }
            if !anchor(arm.to) {
                rows[arm.to][current] = rows[arm.to][current].minus(Dd::ONE);
            }
            let row = &mut rows[current];
            row[arm.from] = row[arm.from].plus(Dd::ONE);
            row[arm.to] = row[arm.to].minus(Dd::ONE);
            row[current] = Dd(-arm.ohms, 0.0);
            row[size] = Dd(-arm.emf, 0.0);
        }
        let x = eliminate(rows)?;
        let volts = (0..self.nodes).map(|n| (home == Some(island[n])).then(|| x[n].0)).collect();
        Some(Found { volts, amps: x[self.nodes..].iter().map(|d| d.0).collect() })
    }
}

/// Solves rows of `n` coefficients and a right side.
fn eliminate(mut rows: Vec<Vec<Dd>>) -> Option<Vec<Dd>> {
    let n = rows.len();
    for column in 0..n {
        // The entry that is the largest share of its own row.
        let mut best = None;
        for (place, row) in rows.iter().enumerate().skip(column).filter(|(_, row)| row[column].0 != 0.0) {
            let largest = row[column..n].iter().fold(0.0f64, |most, d| most.max(d.0.abs()));
            let worth = row[column].0.abs() / largest;
            if best.is_none_or(|(most, _)| worth > most) {
                best = Some((worth, place));
            }
        }
        let (worth, best) = best?;
        if worth < 1e-24 {
            return None;
        }
        rows.swap(column, best);
        let (above, below) = rows.split_at_mut(column + 1);
        let pivot = &above[column];
        for row in below.iter_mut().filter(|row| row[column].0 != 0.0) {
            let factor = row[column].over(pivot[column]);
            for place in column..=n {
                if pivot[place].0 != 0.0 {
                    row[place] = row[place].minus(factor.times(pivot[place]));
                }
            }
            row[column] = Dd::ZERO;
        }
    }
    let mut x = vec![Dd::ZERO; n];
    for row in (0..n).rev() {
        let mut rest = rows[row][n];
        for place in row + 1..n {
            if rows[row][place].0 != 0.0 {
                rest = rest.minus(rows[row][place].times(x[place]));
            }
        }
        x[row] = rest.over(rows[row][row]);
    }
    Some(x)
}

/// A number as the unrounded sum of two doubles.
#[derive(Clone, Copy, Debug)]
struct Dd(f64, f64);

impl Dd {
    const ZERO: Self = Self(0.0, 0.0);
    const ONE: Self = Self(1.0, 0.0);

    fn sum(a: f64, b: f64) -> Self {
        let s = a + b;
        let t = s - a;
        Self(s, (a - (s - t)) + (b - t))
    }

    fn plus(self, other: Self) -> Self {
        let high = Self::sum(self.0, other.0);
        let low = Self::sum(self.1, other.1);
        let next = Self::sum(high.0, high.1 + low.0);
        Self::sum(next.0, next.1 + low.1)
    }

    fn minus(self, other: Self) -> Self {
        self.plus(Self(-other.0, -other.1))
    }

    fn times(self, other: Self) -> Self {
        let p = self.0 * other.0;
        let e = self.0.mul_add(other.0, -p) + (self.0 * other.1 + self.1 * other.0);
        Self::sum(p, e)
    }

    fn over(self, other: Self) -> Self {
        let first = self.0 / other.0;
        let rest = self.minus(other.times(Self(first, 0.0)));
        let second = rest.0 / other.0;
        let rest = rest.minus(other.times(Self(second, 0.0)));
        Self::sum(first, second).plus(Self(rest.0 / other.0, 0.0))
    }
}
