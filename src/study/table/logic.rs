//! The shortest sum of products that is true in just the rows asked for.
//!
//! The prime implicants after W. V. Quine ("The problem of simplifying truth functions" and "A way to simplify truth
//! functions", American Mathematical Monthly 59, 1952, and 62, 1955) and E. J. McCluskey ("Minimization of Boolean
//! functions", Bell System Technical Journal 35, 1956), of inputs with any number of values: a literal says that an
//! input has one value, or that it has not. The cover after S. R. Petrick ("A direct determination of the irredundant
//! forms of a Boolean function from the set of prime implicants", AFCRC-TR-56-110, 1956): fewest products, of those
//! the fewest literals. All from memory. Where Petrick's expansion would grow out of hand the cover is greedy, and
//! says so. What the inputs are is not known here.

use super::values_of;

/// Primes beyond which no expansion is tried: one bit each.
const MOST_CYCLIC_PRIMES: usize = 128;
/// Products of the expansion beyond which the cover is greedy.
const MOST_EXPANDED: usize = 4000;
/// Comparisons beyond which dominance is not looked for.
const MOST_COMPARED: usize = 1 << 25;

/// What a product demands of one input. The order is that in which products are listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Literal {
    /// It has this value.
    Is(usize),
    /// It has another value than this, of three or more.
    Not(usize),
    /// Nothing.
    Free,
}

impl Literal {
    /// Whether a value meets it.
    pub fn allows(self, value: usize) -> bool {
        match self {
            Self::Is(wanted) => value == wanted,
            Self::Not(barred) => value != barred,
            Self::Free => true,
        }
    }
}

/// Demands on every input, all to be met at once.
pub type Product = Vec<Literal>;

/// A sum of products.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Minimal {
    /// The products, any of which is enough: those of the fewest literals first. None where nothing is enough.
    pub products: Vec<Product>,
    /// Whether no sum with fewer products, or as many and fewer literals, is the same.
    pub exact: bool,
}

/// How many literals a product has.
pub fn literals(product: &[Literal]) -> usize {
    product.iter().filter(|literal| **literal != Literal::Free).count()
}

/// Whether values meet every demand of a product.
pub fn holds(product: &[Literal], values: &[usize]) -> bool {
    product.iter().zip(values).all(|(literal, value)| literal.allows(*value))
}

/// The shortest sum that is true in just the rows that are `on`. The inputs have so many values as `sizes` says;
/// rows are in order, the last input changing fastest.
pub fn minimise(sizes: &[usize], on: &[bool]) -> Minimal {
    let primes = primes(sizes, on);
    let rows: Vec<Vec<usize>> =
        on.iter().enumerate().filter(|(_, on)| **on).map(|(row, _)| values_of(sizes, row)).collect();
    let (chosen, exact) = Cover::of(&primes, &rows).solve();
    let mut products: Vec<Product> = chosen.into_iter().map(|prime| primes[prime].clone()).collect();
    products.sort_by_cached_key(|product| (literals(product), product.clone()));
    Minimal { products, exact }
}

/// The literals an input of so many values can have: each its own number, single values first.
fn alphabet(size: usize) -> Vec<Literal> {
    let singles = (0..size).map(Literal::Is);
    match size {
        1 => vec![Literal::Free],
        2 => singles.chain([Literal::Free]).collect(),
        _ => singles.chain((0..size).map(Literal::Not)).chain([Literal::Free]).collect(),
    }
}

/// All products that are true only in rows that are on, and of which no demand can be loosened.
///
/// Products are numbered like rows, with literals for values. A product with a looser literal has a larger number
/// than those with the single values it stands for, so one pass upward finds which are implicants.
fn primes(sizes: &[usize], on: &[bool]) -> Vec<Product> {
    let alphabets: Vec<Vec<Literal>> = sizes.iter().map(|size| alphabet(*size)).collect();
    let counts: Vec<usize> = alphabets.iter().map(Vec::len).collect();
    let mut strides = vec![1; counts.len()];
    for place in (1..counts.len()).rev() {
        strides[place - 1] = strides[place] * counts[place];
    }
    let total: usize = counts.iter().product();
    let mut implicant = vec![false; total];
    let mut codes = vec![0; counts.len()];
    for number in 0..total {
        let loose = (0..codes.len()).find(|place| codes[*place] >= sizes[*place]);
        implicant[number] = match loose {
            None => on[super::row_of(sizes, &codes)],
            Some(place) => {
                let literal = alphabets[place][codes[place]];
                let tied = number - codes[place] * strides[place];
                (0..sizes[place]).filter(|v| literal.allows(*v)).all(|v| implicant[tied + v * strides[place]])
            }
        };
        count_up(&mut codes, &counts);
    }
    let mut found = Vec::new();
    codes.fill(0);
    for number in 0..total {
        let loosened = |place: usize| {
            let tied = number - codes[place] * strides[place];
            let now = alphabets[place][codes[place]];
            let looser = |code: &usize| is_looser(alphabets[place][*code], now);
            (codes[place] + 1..counts[place]).filter(looser).any(|code| implicant[tied + code * strides[place]])
        };
        if implicant[number] && !(0..codes.len()).any(loosened) {
            found.push(codes.iter().zip(&alphabets).map(|(code, alphabet)| alphabet[*code]).collect());
        }
        count_up(&mut codes, &counts);
    }
    found
}

/// Whether one literal allows all that another does and more.
fn is_looser(literal: Literal, than: Literal) -> bool {
    match (literal, than) {
        (Literal::Free, Literal::Is(_) | Literal::Not(_)) => true,
        (Literal::Not(barred), Literal::Is(value)) => barred != value,
        (Literal::Is(_) | Literal::Not(_) | Literal::Free, _) => false,
    }
}

/// The next number in a system whose digits have these counts.
fn count_up(digits: &mut [usize], counts: &[usize]) {
    for (digit, count) in digits.iter_mut().zip(counts).rev() {
        *digit += 1;
        if *digit < *count {
            return;
        }
        *digit = 0;
    }
}

/// The covering problem that is left: rows still to be covered by primes still worth taking.
struct Cover {
    /// For each prime the rows it covers, by their places, in order.
    covers: Vec<Vec<usize>>,
    literals: Vec<usize>,
    open_rows: Vec<bool>,
    open_primes: Vec<bool>,
    chosen: Vec<usize>,
}

impl Cover {
    fn of(primes: &[Product], rows: &[Vec<usize>]) -> Self {
        let covered = |prime: &Product| (0..rows.len()).filter(|row| holds(prime, &rows[*row])).collect();
        Self {
            covers: primes.iter().map(covered).collect(),
            literals: primes.iter().map(|prime| literals(prime)).collect(),
            open_rows: vec![true; rows.len()],
            open_primes: vec![true; primes.len()],
            chosen: Vec::new(),
        }
    }

    /// The primes of the cover, and whether no cover is cheaper.
    fn solve(mut self) -> (Vec<usize>, bool) {
        loop {
            let taken = self.take_essential();
            let primes = self.primes_left().len();
            if primes == 0 {
                return (self.chosen, true);
            }
            let rows = self.open_rows.iter().filter(|open| **open).count();
            let small = primes.saturating_mul(rows).saturating_mul(rows.max(primes)) <= MOST_COMPARED;
            let dropped = small && self.drop_dominated();
            if !taken && !dropped {
                break;
            }
        }
        let best = self.petrick();
        let exact = best.is_some();
        let rest = best.unwrap_or_else(|| self.greedy());
        self.chosen.extend(rest);
        (self.chosen, exact)
    }

    fn primes_left(&self) -> Vec<usize> {
        (0..self.covers.len())
            .filter(|p| self.open_primes[*p] && self.covers[*p].iter().any(|row| self.open_rows[*row]))
            .collect()
    }

    /// For each open row the open primes that cover it.
    fn coverers(&self) -> Vec<(usize, Vec<usize>)> {
        let mut by_row = vec![Vec::new(); self.open_rows.len()];
        for prime in self.primes_left() {
            for row in self.covers[prime].iter().filter(|row| self.open_rows[**row]) {
                by_row[*row].push(prime);
            }
        }
        by_row.into_iter().enumerate().filter(|(row, _)| self.open_rows[*row]).collect()
    }

    /// Takes every prime that alone covers some row. Whether there was one.
    fn take_essential(&mut self) -> bool {
        let mut any = false;
        for (row, primes) in self.coverers() {
            if let [only] = primes[..]
                && self.open_rows[row]
            {
                self.take(only);
                self.chosen.push(only);
                any = true;
            }
        }
        any
    }

    fn take(&mut self, prime: usize) {
        self.open_primes[prime] = false;
        self.covers[prime].iter().for_each(|row| self.open_rows[*row] = false);
    }

    /// Leaves out rows that are covered whenever another is, and primes that another covers all of at no more
    /// literals. Whether there was one of either.
    fn drop_dominated(&mut self) -> bool {
        let mut any = false;
        let rows = self.coverers();
        for (at, (row, primes)) in rows.iter().enumerate() {
            let within = |other: &[usize]| other.iter().all(|prime| primes.binary_search(prime).is_ok());
            let dominated = rows.iter().enumerate().any(|(other_at, (other, others))| {
                other_at != at
                    && self.open_rows[*other]
                    && within(others)
                    && (others.len() < primes.len() || other_at < at)
            });
            if dominated {
                self.open_rows[*row] = false;
                any = true;
            }
        }
        let left = self.primes_left();
        let open: Vec<Vec<usize>> = left
            .iter()
            .map(|prime| self.covers[*prime].iter().copied().filter(|row| self.open_rows[*row]).collect())
            .collect();
        for (at, prime) in left.iter().enumerate() {
            let dominated = left.iter().enumerate().any(|(other_at, other)| {
                let (few, many) = (self.literals[*prime], self.literals[*other]);
                let equal = open[at].len() == open[other_at].len() && few == many;
                other_at != at
                    && self.open_primes[*other]
                    && many <= few
                    && open[at].iter().all(|row| open[other_at].binary_search(row).is_ok())
                    && (!equal || other_at < at)
            });
            if dominated {
                self.open_primes[*prime] = false;
                any = true;
            }
        }
        any
    }

    /// The cheapest cover of what is left, by multiplying out "this prime or that for this row, and ..."; none where
    /// that grows out of hand.
    fn petrick(&self) -> Option<Vec<usize>> {
        let left = self.primes_left();
        if left.len() > MOST_CYCLIC_PRIMES {
            return None;
        }
        let mut clauses: Vec<u128> = self
            .coverers()
            .iter()
            .map(|(_, primes)| {
                let bit = |prime: &usize| left.iter().position(|l| l == prime).map_or(0, |at| 1_u128 << at);
                primes.iter().map(bit).fold(0, |all, bit| all | bit)
            })
            .collect();
        clauses.sort_by_key(|clause| (clause.count_ones(), *clause));
        let mut sums = vec![0_u128];
        for clause in clauses {
            let (mut next, open): (Vec<u128>, Vec<u128>) = sums.into_iter().partition(|sum| sum & clause != 0);
            for at in (0..left.len()).filter(|at| clause >> at & 1 == 1) {
                next.extend(open.iter().map(|sum| sum | 1 << at));
            }
            sums = absorb(next);
            if sums.len() > MOST_EXPANDED {
                return None;
            }
        }
        let primes_of = |sum: u128| (0..left.len()).filter(move |at| sum >> at & 1 == 1).map(|at| left[at]);
        let best = sums
            .into_iter()
            .min_by_key(|sum| (sum.count_ones(), primes_of(*sum).map(|p| self.literals[p]).sum::<usize>(), *sum))?;
        Some(primes_of(best).collect())
    }

    /// A cover of what is left, each time by the prime that covers most of it.
    fn greedy(&mut self) -> Vec<usize> {
        let mut taken = Vec::new();
        loop {
            let gain = |prime: &usize| self.covers[*prime].iter().filter(|row| self.open_rows[**row]).count();
            let left = self.primes_left();
            let best = left.into_iter().max_by_key(|p| (gain(p), usize::MAX - self.literals[*p], usize::MAX - p));
            let Some(best) = best else { return taken };
            self.take(best);
            taken.push(best);
        }
    }
}

/// Leaves out every sum that holds another.
fn absorb(mut sums: Vec<u128>) -> Vec<u128> {
    sums.sort_by_key(|sum| (sum.count_ones(), *sum));
    sums.dedup();
    let mut kept: Vec<u128> = Vec::new();
    for sum in sums {
        if kept.len() > MOST_EXPANDED {
            return kept;
        }
        if !kept.iter().any(|smaller| sum & smaller == *smaller) {
            kept.push(sum);
        }
    }
    kept
}
