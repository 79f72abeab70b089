//! How long a blade fuse takes to open: a band, from the standard's shortest and longest times.
//!
//! Times between the standard's points follow straight lines on double logarithmic paper, as makers print them.
//! Which fuse opens in a settled circuit is decided in [`settle`](super::settle).

use super::limits::FUSE_BAND;

/// Shortest and longest seconds to open at `multiple` times its rating; none below 135 %, where the standard asks
/// for no opening. Beyond the last point the last point's times are given: it opens at least as fast.
///
/// Points: ISO 8820-3 type C, from memory.
pub fn opening_seconds(multiple: f64) -> Option<(f64, f64)> {
    let (first, last) = (FUSE_BAND[0], FUSE_BAND[FUSE_BAND.len() - 1]);
    if multiple < first.0 {
        return None;
    }
    if multiple >= last.0 {
        return Some((last.1, last.2));
    }
    FUSE_BAND.windows(2).find(|pair| multiple < pair[1].0).map(|pair| {
        let along = (multiple / pair[0].0).ln() / (pair[1].0 / pair[0].0).ln();
        let between = |a: f64, b: f64| a * (b / a).powf(along);
        (between(pair[0].1, pair[1].1), between(pair[0].2, pair[1].2))
    })
}

#[cfg(test)]
mod tests {
    use super::opening_seconds;

    #[test]
    fn a_fuse_opens_faster_the_more_it_carries_and_never_below_135_percent() {
        assert_eq!(opening_seconds(1.34), None);
        let mut last = (f64::INFINITY, f64::INFINITY);
        for step in 0..200 {
            let (least, most) = opening_seconds(1.35 + 0.023 * f64::from(step)).unwrap();
            assert!(least <= last.0 && most <= last.1 && least < most, "at step {step}: {least} to {most}");
            last = (least, most);
        }
    }
}
