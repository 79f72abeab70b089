//! Round numbers for axes, and the way from values to paper.
//!
//! Steps are 1, 2 or 5 times a power of ten (common practice of drawing charts by hand, no source). What is drawn
//! along an axis is left to [`chart`](super::chart).

/// A stretch of values with its round numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Axis {
    /// First value.
    pub(super) from: f64,
    /// Last value.
    pub(super) to: f64,
    /// From round number to round number.
    pub(super) step: f64,
}

impl Axis {
    /// From round number to round number around these values, in at most `most` steps.
    pub(super) fn around(least: f64, greatest: f64, most: usize) -> Self {
        let (least, greatest) = if greatest > least { (least, greatest) } else { (least, least + 1.0) };
        let mut step = round_step(greatest - least, most);
        loop {
            // A value that lies on a round number but for rounding's leftovers asks for no step more.
            let from = ((least / step + 1e-9).floor()) * step;
            let to = ((greatest / step - 1e-9).ceil()) * step;
            if (to - from) / step <= most as f64 + 0.5 {
                return Self { from, to, step };
            }
            step = round_step((to - from) * 1.001, most);
        }
    }

    /// From nought to just this value, with round numbers on the way.
    pub(super) fn up_to(greatest: f64, most: usize) -> Self {
        Self { from: 0.0, to: greatest, step: round_step(greatest, most) }
    }

    /// The round numbers.
    pub(super) fn ticks(&self) -> Vec<f64> {
        let first = (self.from / self.step - 1e-9).ceil();
        let count = ((self.to / self.step + 1e-9).floor() - first).max(0.0) as usize;
        (0..=count).map(|i| (first + i as f64) * self.step + 0.0).collect()
    }

    /// A round number in words, with as many decimals as its step has.
    pub(super) fn words(&self, tick: f64) -> String {
        let decimals = (-self.step.log10().floor()).max(0.0) as usize;
        format!("{tick:.decimals$}")
    }

    /// Where a value lies, as a share of the way.
    pub(super) fn share(&self, value: f64) -> f64 {
        (value - self.from) / (self.to - self.from)
    }
}

/// The least round step that goes through a span in at most so many steps.
fn round_step(span: f64, most: usize) -> f64 {
    let least = span / most as f64;
    let power = 10f64.powf(least.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0].into_iter().find(|times| times * power >= least * (1.0 - 1e-9));
    times.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use super::Axis;

    #[test]
    fn steps_are_round_and_never_too_many() {
        for (least, greatest) in [(0.0, 12.53), (20.0, 97.3), (0.0, 1800.0), (68.0, 68.0), (-3.0, 0.1), (0.0, 1e-3)] {
            let axis = Axis::around(least, greatest, 4);
            let ticks = axis.ticks();
            assert!((2..=6).contains(&ticks.len()), "{least} to {greatest}: {ticks:?}");
            assert!(axis.from <= least && axis.to >= greatest, "{axis:?}");
            let lead = axis.step / 10f64.powf(axis.step.log10().floor());
            assert!([1.0, 2.0, 5.0, 10.0].iter().any(|x| (x - lead).abs() < 1e-6), "{axis:?}");
        }
        assert_eq!(Axis::around(0.0, 105.0, 4).ticks(), [0.0, 50.0, 100.0, 150.0]);
        assert_eq!(Axis::up_to(30.0, 12).ticks(), [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0]);
    }
}
