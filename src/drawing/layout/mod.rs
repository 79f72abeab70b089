//! Where everything goes: parts in rows, wires in the channels between them.
//!
//! Yields [`Layout`], which depends on the circuit alone and not on its state, so a drawing keeps still while
//! contacts move.

use crate::circuit::{Circuit, PartId, TerminalId};

use super::picture::Point;

/// A circuit's parts and wires placed on a page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    pub(super) width: f32,
    pub(super) height: f32,
    pub(super) terminals: Vec<Point>,
    pub(super) wires: Vec<Vec<Point>>,
}

impl Layout {
    /// Places a circuit.
    pub fn of(circuit: &Circuit) -> Self {
        let columns = (circuit.parts().len() as f32).sqrt().ceil().max(1.0) as usize;
        let mut layout = Self::default();
        for i in 0..circuit.parts().len() {
            let (x, y) = ((i % columns) as f32 * 200.0 + 80.0, (i / columns) as f32 * 160.0 + 60.0);
            let id = PartId(i as u32);
            for (k, _) in circuit.terminals_of(id).enumerate() {
                layout.terminals.push(Point::new(x + (k / 2) as f32 * 56.0, y + (k % 2) as f32 * 64.0));
            }
            layout.width = layout.width.max(x + 200.0);
            layout.height = layout.height.max(y + 140.0);
        }
        let at = |t: TerminalId| layout.terminals[t.index()];
        layout.wires =
            circuit.wires().iter().map(|w| vec![at(w.from), Point::new(at(w.to).x, at(w.from).y), at(w.to)]).collect();
        layout
    }

    /// Width and height of the page in units.
    pub fn size(&self) -> (f32, f32) {
        (self.width, self.height)
    }

    /// Where a terminal is.
    pub fn terminal(&self, id: TerminalId) -> Point {
        self.terminals[id.index()]
    }
}
