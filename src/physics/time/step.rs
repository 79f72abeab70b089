//! One step of an ordinary differential equation, with its own error told.
//!
//! The pair of orders 5 and 4 of J. R. Dormand and P. J. Prince (1980), first same as last, and the step-size rule that
//! goes with it (E. Hairer, S. P. Nørsett and G. Wanner, "Solving Ordinary Differential Equations I", II.4). Between
//! the ends of a step the cubic through both values and slopes serves. What the equation is about is not known here.

/// Values of everything that flows, and their slopes.
pub(super) type Values = Vec<f64>;

const A: [[f64; 6]; 6] = [
    [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
    [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
    [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0, 0.0, 0.0],
    [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0, 0.0],
    [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
];
/// Fifth order less fourth.
const E: [f64; 7] =
    [71.0 / 57600.0, 0.0, -71.0 / 16695.0, 71.0 / 1920.0, -17253.0 / 339200.0, 22.0 / 525.0, -1.0 / 40.0];

/// A step from one moment to another.
#[derive(Clone, Debug)]
pub(super) struct Step {
    pub(super) from: Values,
    pub(super) to: Values,
    pub(super) slope_from: Values,
    pub(super) slope_to: Values,
    /// How long, in seconds.
    pub(super) seconds: f64,
    /// Error over what is allowed; at most 1 is good, infinite where a value is no number any more.
    pub(super) error: f64,
    /// The value with the largest error.
    pub(super) worst: usize,
}

impl Step {
    /// Takes a step of `seconds`. `allowed` gives the error that each value may have.
    pub(super) fn take(
        from: &Values,
        slope_from: &Values,
        seconds: f64,
        allowed: impl Fn(usize, f64) -> f64,
        slope: impl Fn(&Values) -> Values,
    ) -> Self {
        let mut slopes: Vec<Values> = vec![slope_from.clone()];
        let mut at = from.clone();
        for row in &A {
            for (i, value) in at.iter_mut().enumerate() {
                let sum: f64 = slopes.iter().zip(row).map(|(k, a)| a * k[i]).sum();
                *value = from[i] + seconds * sum;
            }
            slopes.push(slope(&at));
        }
        let (mut error, mut worst) = (0.0, 0);
        for i in 0..from.len() {
            let off: f64 = slopes.iter().zip(&E).map(|(k, e)| e * k[i]).sum();
            let share = (seconds * off).abs() / allowed(i, from[i].abs().max(at[i].abs()));
            // Where nothing may be, or nothing can be said, no step is good.
            let share = if at[i].is_finite() && !share.is_nan() { share } else { f64::INFINITY };
            if share > error {
                (error, worst) = (share, i);
            }
        }
        let slope_to = slopes.pop().unwrap_or_default();
        Self { from: from.clone(), to: at, slope_from: slope_from.clone(), slope_to, seconds, error, worst }
    }

    /// How long the next step may be, or this one should have been.
    pub(super) fn next_seconds(&self) -> f64 {
        let factor = if self.error > 0.0 { 0.9 * self.error.powf(-0.2) } else { 5.0 };
        self.seconds * factor.clamp(0.2, 5.0)
    }

    /// A value `share` of the way through the step.
    pub(super) fn value(&self, place: usize, share: f64) -> f64 {
        let (a, b) = (self.from[place], self.to[place]);
        let (da, db) = (self.slope_from[place] * self.seconds, self.slope_to[place] * self.seconds);
        let (s, t) = (share, 1.0 - share);
        a * t * t * (1.0 + 2.0 * s) + b * s * s * (1.0 + 2.0 * t) + da * s * t * t - db * s * s * t
    }
}

#[cfg(test)]
mod tests {
    use super::Step;

    #[test]
    fn decay_over_one_step_is_right_to_the_order_promised() {
        let off = |seconds: f64| {
            let step = Step::take(&vec![1.0], &vec![-1.0], seconds, |_, _| 1.0, |y| vec![-y[0]]);
            (step.to[0] - (-seconds).exp()).abs()
        };
        // Local error of a fifth-order step falls by 2^6 when it is halved.
        let ratio = off(0.2) / off(0.1);
        assert!((50.0..80.0).contains(&ratio), "{ratio}");
    }

    #[test]
    fn the_middle_of_a_step_lies_on_the_curve() {
        let step = Step::take(&vec![1.0], &vec![-1.0], 0.1, |_, _| 1.0, |y| vec![-y[0]]);
        assert!((step.value(0, 0.5) - (-0.05f64).exp()).abs() < 1e-6);
        assert_eq!(step.value(0, 0.0), 1.0);
    }
}
