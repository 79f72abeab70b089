//! The circuits that come with the program, as text inside it.
//!
//! Each is a file of circuits/ by its name without the ending. The list is kept equal to the folder by a test.

/// Name and text of every shipped circuit, the one to begin with first.
pub const SHIPPED: [(&str, &str); 12] = [
    ("series-closed", include_str!("../../circuits/series-closed.ron")),
    ("parallel-open", include_str!("../../circuits/parallel-open.ron")),
    ("refrigerant-relay", include_str!("../../circuits/refrigerant-relay.ron")),
    ("relay-inverted", include_str!("../../circuits/relay-inverted.ron")),
    ("module-low-side", include_str!("../../circuits/module-low-side.ron")),
    ("module-high-side", include_str!("../../circuits/module-high-side.ron")),
    ("coach-24v", include_str!("../../circuits/coach-24v.ron")),
    ("spring-applied", include_str!("../../circuits/spring-applied.ron")),
    ("ground-side", include_str!("../../circuits/ground-side.ron")),
    ("diode-isolated", include_str!("../../circuits/diode-isolated.ron")),
    ("seal-in", include_str!("../../circuits/seal-in.ron")),
    ("dash-selector", include_str!("../../circuits/dash-selector.ron")),
];
