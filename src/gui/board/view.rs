//! Which part of the sheet is seen, and how large.
//!
//! Yields [`View`], a pan and a zoom about a point of the page, with the sums between page and screen. Text and
//! lines are drawn at their final size by the painter, so they are sharp at any zoom.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

use super::super::command::Move;
use super::super::kept::KeptView;
use super::geometry::Extent;

/// Smallest and largest zoom; the smallest is for sheets of thousands of parts.
const ZOOMS: std::ops::RangeInclusive<f32> = 0.005..=6.0;
/// No hand goes further out than this, unless all of a larger sheet is not seen yet.
const FURTHEST: f32 = 0.15;
/// Fitting a small circuit does not blow it up further than this.
const LARGEST_FIT: f32 = 3.0;
/// Free room around the page when it is fitted, in points.
const MARGIN: f32 = 24.0;

/// Height under which a board is low, and the free room around the page in it; the same of one that is middling.
const LOW: f32 = 250.0;
const LOW_MARGIN: Vec2 = vec2(20.0, 9.0);
const MIDDLING: f32 = 420.0;
const MIDDLING_MARGIN: Vec2 = vec2(20.0, 13.0);
/// Width under which a low board has no room for the buttons.
const NARROW: f32 = 340.0;

/// How much larger a sheet must be over words than beside dials to be worth the dials.
const FAR_LARGER: f32 = 1.3;

/// Most paper around what is drawn, in points, and what of the free room at its edges it leaves.
const BORDER: f32 = 18.0;
const EDGE: f32 = 2.0;

/// What else a board's room is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Share {
    /// Gauges and buttons stand in its corner.
    Whole,
    /// Half of the room for two drawings: the buttons alone stand there.
    Half,
    /// The drawing alone: the buttons stand above it, as for half of a low window, or beside it with clock or instruments.
    Bare,
}

/// How the gauges and the buttons that move the sheet stand at the lower right of the board.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Corner {
    /// Side by side.
    #[default]
    Row,
    /// The gauges above the buttons, where that leaves more room for the sheet.
    Block,
    /// All of them above each other, where that leaves more.
    Stack,
    /// Gauges above each other, the buttons beside them, where the board is low.
    Column,
    /// The gauges alone, where the board is low and narrow; the buttons' keys are still there.
    Gauges,
    /// Both pressures in a line of words below the sheet, where dials beside it would leave it hardly any width.
    Words,
    /// The same in a line each, where one is longer than the board is wide.
    Lines,
    /// The buttons alone, where two boards share the room; both pressures stand in words and in the chain.
    Buttons,
    /// Nothing.
    Bare,
}

impl Corner {
    /// Room it takes, in points, where what is pressed is so much higher than a mouse needs it.
    pub fn room(self, grown: f32) -> Vec2 {
        match self {
            Self::Row => vec2(456.0 + grown, 52.0),
            Self::Block => vec2(260.0, 96.0),
            Self::Stack => vec2(138.0 + grown, 156.0 + grown * 0.5),
            Self::Column => vec2(182.0 + grown * 0.5, 118.0 + grown * 1.5),
            Self::Gauges => vec2(128.0, 104.0),
            Self::Words => vec2(220.0, 20.0),
            Self::Lines => vec2(118.0, 38.0),
            Self::Buttons => vec2(138.0 + grown, 40.0 + grown * 0.5),
            Self::Bare => Vec2::ZERO,
        }
    }
}

/// A pan and a zoom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Place of the page in the middle of the board.
    middle: Pos2,
    zoom: f32,
    fitted: bool,
    corner: Corner,
    /// The zoom at which all of the sheet is seen.
    whole: f32,
    /// Paper around what is drawn, in points.
    border: f32,
}

impl Default for View {
    fn default() -> Self {
        Self { middle: Pos2::ZERO, zoom: 1.0, fitted: true, corner: Corner::Row, whole: 1.0, border: BORDER }
    }
}

impl View {
    /// What is seen of the sheet, to be kept; none while all of it is.
    pub fn kept(&self) -> Option<KeptView> {
        (!self.fitted).then_some(KeptView { middle: (self.middle.x, self.middle.y), zoom: self.zoom })
    }

    /// The view that was kept; all of the sheet where it makes no sense.
    pub fn of_kept(KeptView { middle: (x, y), zoom }: KeptView) -> Self {
        let makes_sense = x.is_finite() && y.is_finite() && ZOOMS.contains(&zoom);
        let kept = Self { middle: pos2(x, y), zoom, fitted: false, ..Self::default() };
        if makes_sense { kept } else { Self::default() }
    }

    /// A view that stays as it is.
    pub fn still(middle: Pos2, zoom: f32) -> Self {
        Self { middle, zoom, fitted: false, ..Self::default() }
    }

    /// The zoom at which all of a page is seen on a board of this size, as [`View::follow`] fits it.
    pub fn zoom_to_fit(board: Vec2, page: Extent, shared: (Share, f32)) -> f32 {
        let mut view = Self::default();
        view.follow(Rect::from_min_size(Pos2::ZERO, board), page, shared);
        view.zoom
    }

    /// Points on screen per unit of the page.
    pub fn zoom(&self) -> f32 {
        self.zoom
    }

    /// Keeps the whole page in sight, and off the buttons in the corner, while it is fitted. Boards that share the room
    /// make do with less in their corner, where a line of what is pressed may be `grown`.
    pub fn follow(&mut self, board: Rect, [left, top, right, bottom]: Extent, (share, grown): (Share, f32)) {
        let is_slim = share == Share::Half && (board.width() < Corner::Row.room(grown).x || board.height() < LOW);
        if is_slim {
            self.corner = Corner::Buttons;
        }
        let margin = match board.height() {
            height if height < LOW => LOW_MARGIN,
            height if height < MIDDLING => MIDDLING_MARGIN,
            _ => Vec2::splat(MARGIN),
        };
        self.border = BORDER.min(margin.y - EDGE);
        let page = vec2(right - left, bottom - top);
        if page.x > 0.0 && page.y > 0.0 {
            let room = (board.size() - Vec2::splat(2.0 * MARGIN)).max(Vec2::splat(50.0));
            self.whole = (room.x / page.x).min(room.y / page.y);
        }
        if !self.fitted || page.x <= 0.0 || page.y <= 0.0 {
            return;
        }
        let zoom = |board: Vec2| {
            let room = (board - 2.0 * margin).max(Vec2::splat(50.0));
            (room.x / page.x).min(room.y / page.y).clamp(*ZOOMS.start(), LARGEST_FIT)
        };
        self.zoom = zoom(board.size());
        self.middle = pos2(left, top) + page / 2.0;
        if share == Share::Bare {
            self.corner = Corner::Bare;
            return;
        }
        if is_slim {
            let Vec2 { x: beside, y: below } = Corner::Buttons.room(grown);
            let free = (board.size() - page * self.zoom) / 2.0 - Vec2::splat(self.border);
            if free.x >= beside || free.y >= below {
                return;
            }
            if 2.0 * free.x >= beside + 1.0 {
                self.middle.x += (beside + 1.0 - free.x) / self.zoom;
                return;
            }
            // The paper's edge stays clear of them too.
            let [over, next] = [vec2(0.0, below + self.border), vec2(beside + self.border, 0.0)];
            let off = if zoom(board.size() - next) > zoom(board.size() - over) { next } else { over };
            self.zoom = zoom(board.size() - off);
            self.middle += vec2(off.x.min(beside), off.y.min(below)) / 2.0 / self.zoom;
            return;
        }
        if board.height() < LOW {
            // Beside the gauges whatever the sheet's shape: height is what is short.
            let fits = |corner: &Corner| board.height() >= corner.room(grown).y;
            let wide = if board.width() < NARROW { Corner::Gauges } else { Corner::Column };
            self.corner = [wide, Corner::Gauges].into_iter().find(fits).unwrap_or(Corner::Bare);
            let beside = self.corner.room(grown).x;
            self.zoom = zoom(board.size() - vec2(beside, 0.0));
            let is_line = board.width() >= Corner::Words.room(grown).x;
            let words = if is_line { Corner::Words } else { Corner::Lines };
            let below = words.room(grown).y;
            let over_words = zoom(board.size() - vec2(0.0, below));
            if over_words > self.zoom * FAR_LARGER {
                (self.corner, self.zoom) = (words, over_words);
                self.middle.y += below / 2.0 / self.zoom;
                return;
            }
            self.middle.x += beside / 2.0 / self.zoom;
            return;
        }
        let free = (board.size() - page * self.zoom) / 2.0 - Vec2::splat(self.border);
        let is_clear = |corner: &Corner| free.x >= corner.room(grown).x || free.y >= corner.room(grown).y;
        if let Some(corner) = [Corner::Row, Corner::Block].into_iter().find(is_clear) {
            self.corner = corner;
            return;
        }
        // Beside the gauges, off the middle; by as little as can be, so they stand the narrower way.
        let below = Corner::Row.room(grown).y;
        let row = zoom(board.size() - vec2(0.0, below));
        for corner in [Corner::Block, Corner::Stack] {
            let wide = corner.room(grown).x;
            if 2.0 * free.x >= wide + 2.0 {
                self.corner = corner;
                // A point more, so that the two do not touch.
                self.middle.x += (wide + 1.0 - free.x) / self.zoom;
                return;
            }
        }
        // Below the sheet or beside it, whichever leaves it more.
        let wide = Corner::Stack.room(grown).x;
        let stack = zoom(board.size() - vec2(wide, 0.0));
        (self.corner, self.zoom) = if stack > row { (Corner::Stack, stack) } else { (Corner::Row, row) };
        match self.corner {
            Corner::Stack => self.middle.x += wide / 2.0 / self.zoom,
            _ => self.middle.y += below / 2.0 / self.zoom,
        }
    }

    /// Paper around what is drawn, in points.
    pub(super) fn border(&self) -> f32 {
        self.border
    }

    /// How gauges and buttons stand.
    pub fn corner(&self) -> Corner {
        self.corner
    }

    /// Where a place of the page is on screen.
    pub fn screen_from_page(&self, board: Rect, x: f32, y: f32) -> Pos2 {
        board.center() + (pos2(x, y) - self.middle) * self.zoom
    }

    /// Which place of the page is at a point on screen.
    pub fn page_from_screen(&self, board: Rect, at: Pos2) -> Pos2 {
        self.middle + (at - board.center()) / self.zoom
    }

    /// What of the page is seen: left, top, right, bottom.
    pub fn seen_of_page(&self, board: Rect) -> [f32; 4] {
        let (from, to) = (self.page_from_screen(board, board.min), self.page_from_screen(board, board.max));
        [from.x, from.y, to.x, to.y]
    }

    /// Moves the page by so many points on screen.
    pub fn pan(&mut self, by: Vec2) {
        if by != Vec2::ZERO {
            self.middle -= by / self.zoom;
            self.fitted = false;
        }
    }

    /// Zooms about a point on screen, which stays over the same place of the page.
    pub fn zoom_about(&mut self, board: Rect, at: Pos2, factor: f32) {
        if factor == 1.0 {
            return;
        }
        let held = self.page_from_screen(board, at);
        self.zoom_by(factor);
        self.middle = held - (at - board.center()) / self.zoom;
        self.fitted = false;
    }

    /// Carries out an asked-for move.
    pub fn make(&mut self, asked: Move) {
        match asked {
            Move::Fit => self.fitted = true,
            Move::Zoom(factor) => {
                self.zoom_by(factor);
                self.fitted = false;
            }
        }
    }

    fn zoom_by(&mut self, factor: f32) {
        let furthest = FURTHEST.min(self.whole * 0.8).max(*ZOOMS.start());
        // Fitted into what a low board leaves free it may be further out already, and does not leap back.
        self.zoom = (self.zoom * factor).clamp(furthest.min(self.zoom), *ZOOMS.end());
    }

    /// Moves the page as little as needed for a place with the keyboard on it to be seen whole. A fitted page is seen
    /// whole as it is, and stays fitted.
    pub fn reveal(&mut self, board: Rect, place: Rect) {
        if self.fitted {
            return;
        }
        let inner = board.shrink(MARGIN);
        let short = |low: f32, high: f32, from: f32, to: f32| {
            if low < from {
                from - low
            } else if high > to {
                to - high
            } else {
                0.0
            }
        };
        self.pan(vec2(
            short(place.left(), place.right(), inner.left(), inner.right()),
            short(place.top(), place.bottom(), inner.top(), inner.bottom()),
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOARD: Rect = Rect { min: pos2(100.0, 50.0), max: pos2(900.0, 650.0) };

    #[test]
    fn a_fitted_page_lies_whole_on_the_board() {
        let mut view = View::default();
        view.follow(BOARD, [0.0, 0.0, 2000.0, 700.0], (Share::Whole, 0.0));
        let (a, b) = (view.screen_from_page(BOARD, 0.0, 0.0), view.screen_from_page(BOARD, 2000.0, 700.0));
        assert!(BOARD.contains(a) && BOARD.contains(b), "{a:?} {b:?}");
    }

    #[test]
    fn a_sheet_of_a_thousand_parts_lies_whole_on_the_board_and_hands_go_little_further_out() {
        let mut view = View::default();
        let page = [0.0, 0.0, 42_000.0, 21_000.0];
        view.follow(BOARD, page, (Share::Whole, 0.0));
        let (a, b) = (view.screen_from_page(BOARD, 0.0, 0.0), view.screen_from_page(BOARD, 42_000.0, 21_000.0));
        assert!(BOARD.contains(a) && BOARD.contains(b), "{a:?} {b:?}");
        let whole = view.zoom();
        (0..40).for_each(|_| view.make(Move::Zoom(0.8)));
        assert!(view.zoom() < whole && view.zoom() > whole / 2.0, "{whole} {}", view.zoom());
        // A small sheet is not lost from sight either.
        view.follow(BOARD, [0.0, 0.0, 800.0, 500.0], (Share::Whole, 0.0));
        (0..40).for_each(|_| view.make(Move::Zoom(1.25)));
        (0..80).for_each(|_| view.make(Move::Zoom(0.8)));
        assert_eq!(view.zoom(), FURTHEST);
    }

    #[test]
    fn a_fitted_page_keeps_off_the_buttons_in_the_corner() {
        for (wide, tall) in
            [(800.0, 600.0), (900.0, 480.0), (2000.0, 700.0), (400.0, 900.0), (560.0, 640.0), (700.0, 640.0)]
        {
            let mut view = View::default();
            view.follow(BOARD, [0.0, 0.0, wide, tall], (Share::Whole, 0.0));
            let buttons = Rect::from_min_max(BOARD.max - view.corner().room(0.0), BOARD.max);
            let (a, b) = (view.screen_from_page(BOARD, 0.0, 0.0), view.screen_from_page(BOARD, wide, tall));
            let (a, b) = (a - Vec2::splat(BORDER), b + Vec2::splat(BORDER));
            assert!(BOARD.contains(a) && BOARD.contains(b), "{wide} by {tall}: {a:?} {b:?}");
            assert!(!Rect::from_min_max(a, b).intersects(buttons), "{wide} by {tall}: {a:?} {b:?}");
        }
    }

    #[test]
    fn one_of_two_boards_keeps_its_page_whole_and_off_its_buttons() {
        for (wide, tall) in [(300.0, 400.0), (360.0, 170.0), (440.0, 214.0), (495.0, 214.0), (900.0, 200.0)] {
            let board = Rect::from_min_size(pos2(10.0, 20.0), vec2(wide, tall));
            let mut view = View::default();
            view.follow(board, [0.0, 0.0, 700.0, 500.0], (Share::Half, 0.0));
            let buttons = Rect::from_min_max(board.max - view.corner().room(0.0), board.max);
            let page = [(0.0, 0.0), (700.0, 500.0)].map(|(x, y)| view.screen_from_page(board, x, y));
            assert!(board.contains(page[0]) && board.contains(page[1]), "{wide} by {tall}: {page:?}");
            assert!(!Rect::from_min_max(page[0], page[1]).intersects(buttons), "{wide} by {tall}: {page:?}");
        }
    }

    // On a wall at 1024 by 700 the sheet was a stamp beside two dials once a drawer was out.
    #[test]
    fn dials_give_way_to_words_where_a_low_board_is_narrow_and_nowhere_else() {
        let page = [0.0, 0.0, 590.0, 430.0];
        for (wide, corner) in [(480.0, Corner::Column), (240.0, Corner::Words), (150.0, Corner::Lines)] {
            let board = Rect::from_min_size(pos2(10.0, 20.0), vec2(wide, 153.0));
            let mut view = View::default();
            view.follow(board, page, (Share::Whole, 0.0));
            assert_eq!(view.corner(), corner, "{wide}");
            let told = Rect::from_min_max(board.max - corner.room(0.0), board.max);
            let seen = [(0.0, 0.0), (590.0, 430.0)].map(|(x, y)| view.screen_from_page(board, x, y));
            assert!(board.contains(seen[0]) && board.contains(seen[1]), "{wide}: {seen:?}");
            assert!(!Rect::from_min_max(seen[0], seen[1]).intersects(told), "{wide}: {seen:?}");
        }
    }

    #[test]
    fn zooming_keeps_the_place_under_the_pointer() {
        let mut view = View::default();
        view.follow(BOARD, [0.0, 0.0, 800.0, 600.0], (Share::Whole, 0.0));
        let at = pos2(320.0, 200.0);
        let before = view.page_from_screen(BOARD, at);
        view.zoom_about(BOARD, at, 2.5);
        let after = view.page_from_screen(BOARD, at);
        assert!((before - after).length() < 1e-3, "{before:?} {after:?}");
        let back = view.screen_from_page(BOARD, after.x, after.y);
        assert!((back - at).length() < 1e-3);
    }

    #[test]
    fn what_has_the_keyboard_is_brought_into_sight() {
        let mut view = View::default();
        view.follow(BOARD, [0.0, 0.0, 800.0, 600.0], (Share::Whole, 0.0));
        view.zoom_about(BOARD, BOARD.min, 4.0);
        let at = view.screen_from_page(BOARD, 700.0, 500.0);
        view.reveal(BOARD, Rect::from_center_size(at, vec2(44.0, 44.0)));
        assert!(BOARD.contains(view.screen_from_page(BOARD, 700.0, 500.0)));
    }

    // The keyboard at an edge moved the sheet, and where the room then changed it was not fitted any more.
    #[test]
    fn a_fitted_page_stays_so_wherever_the_keyboard_is() {
        let (mut view, page) = (View::default(), [0.0, 0.0, 800.0, 600.0]);
        view.follow(BOARD, page, (Share::Whole, 0.0));
        let corner = view.screen_from_page(BOARD, 800.0, 0.0);
        view.reveal(BOARD, Rect::from_center_size(corner, vec2(200.0, 200.0)));
        assert_eq!(view.screen_from_page(BOARD, 800.0, 0.0), corner);
        view.follow(BOARD.shrink(100.0), page, (Share::Whole, 0.0));
        assert!(BOARD.shrink(100.0).contains(view.screen_from_page(BOARD.shrink(100.0), 800.0, 600.0)));
    }
}
