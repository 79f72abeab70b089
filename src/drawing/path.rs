//! Lengths along polylines: cutting them, walking them, and how far two run together.
//!
//! Yields plain functions on corner lists; used for wires that share a run at a terminal, for labels and arrowheads.

use super::picture::Point;

/// Length of a polyline in units.
pub(super) fn length(points: &[Point]) -> f32 {
    points.windows(2).map(|s| s[0].distance(s[1])).sum()
}

/// The point `along` units from the start, with the direction there as a unit vector.
pub(super) fn walk(points: &[Point], along: f32) -> (Point, (f32, f32)) {
    let mut left = along.max(0.0);
    let mut last = (points.first().copied().unwrap_or_default(), (0.0, 1.0));
    for s in points.windows(2) {
        let run = s[0].distance(s[1]);
        if run == 0.0 {
            continue;
        }
        let direction = ((s[1].x - s[0].x) / run, (s[1].y - s[0].y) / run);
        if left <= run {
            return (Point::new(s[0].x + direction.0 * left, s[0].y + direction.1 * left), direction);
        }
        left -= run;
        last = (s[1], direction);
    }
    last
}

/// The piece from `start` units after the beginning to `end` units after it.
pub(super) fn cut(points: &[Point], start: f32, end: f32) -> Vec<Point> {
    let end = end.max(start);
    let mut out = vec![walk(points, start).0];
    let mut along = 0.0;
    for s in points.windows(2) {
        along += s[0].distance(s[1]);
        if along > start && along < end {
            out.push(s[1]);
        }
    }
    out.push(walk(points, end).0);
    out
}

/// How far two polylines with one start run together.
pub(super) fn together(a: &[Point], b: &[Point]) -> f32 {
    let mut shared = 0.0;
    for (s, t) in a.windows(2).zip(b.windows(2)) {
        let (p, q) = (s[0].distance(s[1]), t[0].distance(t[1]));
        let same_way = (s[1].x - s[0].x) * (t[1].y - t[0].y) == (s[1].y - s[0].y) * (t[1].x - t[0].x)
            && (s[1].x - s[0].x) * (t[1].x - t[0].x) + (s[1].y - s[0].y) * (t[1].y - t[0].y) > 0.0;
        if !same_way {
            break;
        }
        shared += p.min(q);
        if p != q {
            break;
        }
    }
    shared
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(corners: &[(f32, f32)]) -> Vec<Point> {
        corners.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    #[test]
    fn wires_run_together_until_one_turns_off() {
        let a = line(&[(0.0, 0.0), (0.0, 10.0), (30.0, 10.0)]);
        let b = line(&[(0.0, 0.0), (0.0, 10.0), (20.0, 10.0), (20.0, 40.0)]);
        let c = line(&[(0.0, 0.0), (0.0, 10.0), (-20.0, 10.0)]);

        assert_eq!(together(&a, &b), 30.0);
        assert_eq!(together(&a, &c), 10.0);
    }

    #[test]
    fn a_cut_keeps_the_corners_between() {
        let a = line(&[(0.0, 0.0), (0.0, 10.0), (30.0, 10.0)]);

        assert_eq!(cut(&a, 4.0, 15.0), line(&[(0.0, 4.0), (0.0, 10.0), (5.0, 10.0)]));
        assert_eq!(length(&cut(&a, 4.0, 99.0)), 36.0);
    }
}
