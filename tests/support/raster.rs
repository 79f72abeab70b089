//! Paints what the window shows into a picture, without a display or a graphics driver: the same on every machine.
//!
//! After what egui says of its meshes: triangles in points, colours premultiplied and blended as they are stored, textures
//! read between the middles of their pixels. What is under a pixel's middle is painted; of two triangles that share an edge
//! one has it (Pineda, "A parallel algorithm for polygon rasterization", 1988; from memory).

use std::collections::HashMap;
use std::ops::Range;

use eframe::egui::epaint::{ImageData, Primitive, Vertex};
use eframe::egui::{Color32, ColorImage, Context, FullOutput, Pos2, Rect, TextureId, TexturesDelta, pos2};
use egui_kittest::TestRenderer;
use image::RgbaImage;

/// A colour as shares of full, premultiplied.
type Ink = [f32; 4];

/// The textures as far as they were told.
#[derive(Default)]
pub(crate) struct Raster {
    textures: HashMap<TextureId, ColorImage>,
}

impl TestRenderer for Raster {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for (id, changes) in &delta.set {
            for change in changes {
                let ImageData::Color(image) = &change.image;
                match (change.pos, self.textures.get_mut(id)) {
                    (Some([left, top]), Some(texture)) => patch(texture, image, (left, top)),
                    _ => drop(self.textures.insert(*id, (**image).clone())),
                }
            }
        }
        for id in &delta.free {
            self.textures.remove(id);
        }
        delta.clear();
    }

    fn render(&mut self, ctx: &Context, output: &FullOutput) -> Result<RgbaImage, String> {
        let scale = ctx.pixels_per_point();
        let size = ctx.content_rect().size() * scale;
        let mut picture = Picture::new(size.x.round() as usize, size.y.round() as usize);
        for clipped in ctx.tessellate(output.shapes.clone(), scale) {
            let Primitive::Mesh(mesh) = clipped.primitive else {
                return Err("something is painted by the graphics card alone".to_owned());
            };
            let texture = self.textures.get(&mesh.texture_id).ok_or("a texture that was never told")?;
            let clip = picture.within(clipped.clip_rect * scale);
            for corners in mesh.indices.chunks_exact(3) {
                let corners = [0, 1, 2].map(|corner| mesh.vertices[corners[corner] as usize]);
                let corners = corners.map(|vertex| Vertex { pos: vertex.pos * scale, ..vertex });
                picture.triangle(&clip, texture, corners);
            }
        }
        picture.image().ok_or_else(|| "a picture of another size".to_owned())
    }
}

fn patch(texture: &mut ColorImage, image: &ColorImage, (left, top): (usize, usize)) {
    let wide = texture.size[0];
    for (line, row) in image.pixels.chunks_exact(image.size[0]).enumerate() {
        let from = (top + line) * wide + left;
        texture.pixels[from..from + row.len()].copy_from_slice(row);
    }
}

/// Columns and lines of pixels.
type Pixels = (Range<usize>, Range<usize>);

/// What is painted so far.
struct Picture {
    wide: usize,
    pixels: Vec<[u8; 4]>,
}

impl Picture {
    fn new(wide: usize, high: usize) -> Self {
        Self { wide, pixels: vec![[0; 4]; wide * high] }
    }

    fn image(self) -> Option<RgbaImage> {
        let high = self.pixels.len() / self.wide.max(1);
        RgbaImage::from_raw(self.wide as u32, high as u32, self.pixels.concat())
    }

    /// The pixels within a box, whose edges go to the nearest.
    fn within(&self, area: Rect) -> Pixels {
        let range = |from: f32, to: f32, most: usize| {
            let at = |edge: f32| edge.round().clamp(0.0, most as f32) as usize;
            at(from)..at(to)
        };
        let high = self.pixels.len() / self.wide.max(1);
        (range(area.left(), area.right(), self.wide), range(area.top(), area.bottom(), high))
    }

    fn triangle(&mut self, (columns, lines): &Pixels, texture: &ColorImage, corners: [Vertex; 3]) {
        let double = area(corners[0].pos, corners[1].pos, corners[2].pos);
        if double == 0.0 {
            return;
        }
        // One way round, so that inside is on the same side of every edge.
        let [a, b, c] = if double > 0.0 { corners } else { [corners[0], corners[2], corners[1]] };
        let double = double.abs();
        let inks = [a, b, c].map(|corner| ink(corner.color));
        // Most of a window is painted in plain colours.
        let texel = (a.uv == b.uv && b.uv == c.uv).then(|| read(texture, a.uv));
        let plain = texel.filter(|_| inks[0] == inks[1] && inks[1] == inks[2]).map(|texel| times(inks[0], texel));
        let edges = [(b.pos, c.pos), (c.pos, a.pos), (a.pos, b.pos)].map(|(from, to)| Edge::of(from, to));
        let around = Rect::from_points(&[a.pos, b.pos, c.pos]);
        let within = |range: &Range<usize>, from: f32, to: f32| {
            let (from, to) = ((from - 0.5).ceil().max(0.0) as usize, (to + 0.5).ceil().max(0.0) as usize);
            let from = range.start.max(from);
            from..range.end.min(to).max(from)
        };
        let columns = within(columns, around.left(), around.right());
        for line in within(lines, around.top(), around.bottom()) {
            let begin = pos2(0.5, line as f32 + 0.5);
            let begin = edges.each_ref().map(|edge| area(edge.from, edge.to, begin));
            let row = &mut self.pixels[line * self.wide..][..self.wide];
            for (column, under) in columns.clone().zip(&mut row[columns.clone()]) {
                let inner: [f64; 3] = std::array::from_fn(|edge| begin[edge] - column as f64 * edges[edge].down);
                if (0..3).any(|edge| !edges[edge].has(inner[edge])) {
                    continue;
                }
                let over = plain.unwrap_or_else(|| {
                    let shares = inner.map(|inner| (inner / double) as f32);
                    let mix = |of: [f32; 3]| of[0] * shares[0] + of[1] * shares[1] + of[2] * shares[2];
                    let [x, y] = [[a.uv.x, b.uv.x, c.uv.x], [a.uv.y, b.uv.y, c.uv.y]].map(mix);
                    let ink: Ink = std::array::from_fn(|part| mix(inks.map(|ink| ink[part])));
                    times(ink, texel.unwrap_or_else(|| read(texture, pos2(x, y))))
                });
                blend(under, over);
            }
        }
    }
}

/// An edge of a triangle that goes round clockwise.
struct Edge {
    from: Pos2,
    to: Pos2,
    /// How far it goes down.
    down: f64,
    /// It has what lies on it: an upper or a left one.
    owns: bool,
}

impl Edge {
    fn of(from: Pos2, to: Pos2) -> Self {
        let along = to - from;
        let owns = along.y < 0.0 || (along.y == 0.0 && along.x > 0.0);
        Self { from, to, down: f64::from(to.y) - f64::from(from.y), owns }
    }

    /// Whether a point is at its inner side, so far from it against its length.
    fn has(&self, inner: f64) -> bool {
        inner > 0.0 || (inner == 0.0 && self.owns)
    }
}

/// Twice the area of a triangle, negative where its corners go round the other way: so fine that both sides of an edge
/// agree on which is which.
fn area(a: Pos2, b: Pos2, c: Pos2) -> f64 {
    let way = |from: Pos2, to: Pos2| (f64::from(to.x) - f64::from(from.x), f64::from(to.y) - f64::from(from.y));
    let ((bx, by), (cx, cy)) = (way(a, b), way(a, c));
    bx * cy - by * cx
}

fn ink(colour: Color32) -> Ink {
    colour.to_array().map(|part| f32::from(part) / 255.0)
}

/// The colour of a texture at a place, whose whole width and height are one.
fn read(texture: &ColorImage, at: Pos2) -> Ink {
    let [wide, high] = texture.size;
    let (x, y) = (at.x * wide as f32 - 0.5, at.y * high as f32 - 0.5);
    let pixel = |x: f32, y: f32| {
        let (column, line) = (x.clamp(0.0, wide as f32 - 1.0) as usize, y.clamp(0.0, high as f32 - 1.0) as usize);
        ink(texture.pixels[line * wide + column])
    };
    let (left, top) = (x.floor(), y.floor());
    let (right, down) = (x - left, y - top);
    let mix = |a: Ink, b: Ink, share: f32| -> Ink { std::array::from_fn(|part| a[part] + (b[part] - a[part]) * share) };
    let upper = mix(pixel(left, top), pixel(left + 1.0, top), right);
    mix(upper, mix(pixel(left, top + 1.0), pixel(left + 1.0, top + 1.0), right), down)
}

fn times(ink: Ink, texel: Ink) -> Ink {
    std::array::from_fn(|part| ink[part] * texel[part])
}

fn blend(under: &mut [u8; 4], over: Ink) {
    let left = 1.0 - over[3];
    for (under, over) in under.iter_mut().zip(over) {
        *under = (over * 255.0 + f32::from(*under) * left).round().clamp(0.0, 255.0) as u8;
    }
}

/// A picture half as wide and half as high, each of its pixels the mean of four.
pub(crate) fn halved(image: &RgbaImage) -> RgbaImage {
    let (wide, all) = (image.width() as usize * 4, image.as_raw());
    let (half, high) = (image.width() as usize / 2, image.height() as usize / 2);
    let mut pixels = Vec::with_capacity(half * high * 4);
    for line in 0..high {
        for place in 0..half * 4 {
            let at = 2 * line * wide + (place / 4) * 8 + place % 4;
            let four = [at, at + 4, at + wide, at + wide + 4].map(|at| u32::from(all[at]));
            pixels.push(((four.iter().sum::<u32>() + 2) / 4) as u8);
        }
    }
    RgbaImage::from_raw(half as u32, high as u32, pixels).unwrap_or_default()
}
