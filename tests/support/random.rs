//! Numbers that look random and are the same on every run and machine: SplitMix64 (G. L. Steele, D. Lea and
//! C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014, from memory).
//!
//! A test that fails names its seed, and the seed brings the failure back.

/// A stream of numbers from one seed.
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(0x1234_5678_9ABC_DEF1))
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 up to but not with `limit`, which is not 0.
    pub fn below(&mut self, limit: usize) -> usize {
        let limit = u64::try_from(limit).expect("a usize fits 64 bits");
        usize::try_from(self.next() % limit).expect("less than a usize")
    }

    /// From 0 to 1.
    pub fn share(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).expect("32 bits are left")) / f64::from(u32::MAX)
    }

    /// True in so many of a hundred cases.
    pub fn percent(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Evenly spread over the decades between two powers of ten.
    pub fn decades(&mut self, low: f64, high: f64) -> f64 {
        10f64.powf(self.between(low, high))
    }

    pub fn pick<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }

    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}
