//! How far down everything stands, once the tracks are known.
//!
//! Rows and tracks are levels from the top of the page to its bottom; each lies as near under the one before as its
//! margin allows, and far enough that any two terminals stay a finger apart. A row of splices alone is no more than
//! a level: the dots move on to the tracks beside it. Yields [`Heights`]; a longest path, as levels only look up.

use std::collections::{BTreeMap, BTreeSet};

use crate::circuit::TerminalId;

use super::element::{APART, Element, Face, Pin};
use super::graph::Graph;
use super::route::Tracks;

/// Distance from a row to the nearest track.
const MARGIN: i32 = 32;
/// Distance of two tracks.
const TRACK: i32 = 20;

/// Heights of rows and tracks.
pub(super) struct Heights {
    /// Top of each row.
    pub(super) row: Vec<i32>,
    /// Height of each row.
    pub(super) tall: Vec<i32>,
    /// Each channel's tracks.
    track: Vec<Vec<i32>>,
    /// Bottom of it all.
    pub(super) end: i32,
}

/// The levels so far: height, columns of terminals.
#[derive(Default)]
struct Stack {
    levels: Vec<(i32, Vec<i32>)>,
}

impl Stack {
    /// Puts a level `gap` under the last one or further, if terminals of both would come too near.
    fn put(&mut self, gap: i32, mut terminals: Vec<i32>) -> i32 {
        terminals.sort_unstable();
        let Some(&(last, _)) = self.levels.last() else {
            self.levels.push((0, terminals));
            return 0;
        };
        let mut y = last + gap;
        for (above, columns) in self.levels.iter().rev() {
            if above + APART <= y {
                break;
            }
            let is_near =
                |x: &i32| columns.get(columns.partition_point(|c| *c <= x - APART)).is_some_and(|c| *c < x + APART);
            if terminals.iter().any(is_near) {
                y = above + APART;
                break;
            }
        }
        self.levels.push((y, terminals));
        y
    }
}

impl Heights {
    /// Stacks rows and tracks. `dots` are the splices that have moved on to a track; none yet on a first try.
    pub(super) fn new(graph: &Graph, elements: &[Element], x: &[i32], tracks: &Tracks, dots: &Dots) -> Self {
        let mut heights = Self { row: vec![], tall: vec![], track: vec![], end: 0 };
        let mut stack = Stack::default();
        let last = graph.rows.len();
        let mut above_is_dots = false;
        for channel in 0..=last {
            let row = graph.rows.get(channel);
            let inside = |n: &usize| graph.nodes[*n].element;
            let is_dots = row.is_some_and(|row| {
                row.iter().filter_map(inside).all(|e| elements[e].is_dot()) && row.iter().any(|n| inside(n).is_some())
            });
            let count = tracks.count[channel];
            let margin = |is_dots: bool| if is_dots { TRACK } else { MARGIN };
            let mut own = Vec::new();
            for track in 0..count {
                let gap = if track == 0 { margin(above_is_dots) } else { TRACK };
                let here = dots.columns.get(&(channel, track)).cloned().unwrap_or_default();
                own.push(stack.put(gap, here));
            }
            heights.track.push(own);
            let Some(row) = row else { break };
            let gap = match count {
                0 if above_is_dots || is_dots => MARGIN,
                0 => 2 * MARGIN,
                _ => margin(is_dots),
            };
            let pins = |face: Face| {
                let of = |n: &usize| inside(n).map(|e| (*n, &elements[e]));
                let stays = |pin: &Pin| pin.face == face && !dots.terminals.contains(&pin.terminal);
                let columns = row.iter().filter_map(of).flat_map(|(n, element)| {
                    element.pins.iter().filter(|pin| stays(pin)).map(move |pin| x[n] + pin.dx)
                });
                columns.collect::<Vec<i32>>()
            };
            let tall = row.iter().filter_map(inside).map(|e| elements[e].height).max().unwrap_or(0);
            let mut top = pins(Face::Top);
            top.extend(pins(Face::Both));
            heights.row.push(stack.put(gap, top));
            heights.tall.push(tall);
            stack.put(tall, pins(Face::Bottom));
            above_is_dots = is_dots;
        }
        heights.end = stack.levels.last().map_or(0, |level| level.0);
        heights
    }

    /// Height of a track.
    pub(super) fn of(&self, channel: usize, track: i32) -> i32 {
        let at = usize::try_from(track).ok().and_then(|track| self.track.get(channel)?.get(track));
        at.copied().unwrap_or(0)
    }

    /// The channel and track at a height.
    pub(super) fn track_at(&self, y: i32) -> Option<(usize, i32)> {
        let find = |tracks: &[i32]| tracks.binary_search(&y).ok().and_then(|track| i32::try_from(track).ok());
        self.track.iter().enumerate().find_map(|(channel, tracks)| Some((channel, find(tracks)?)))
    }
}

/// Splices that have moved on to a track.
#[derive(Default)]
pub(super) struct Dots {
    /// Their columns by channel and track.
    pub(super) columns: BTreeMap<(usize, i32), Vec<i32>>,
    /// Their terminals.
    pub(super) terminals: BTreeSet<TerminalId>,
}
