//! A jar cut open along its axis: temperature in bands of one hue, contours labelled where they run.
//!
//! Read `contour.rs` for the outlines, `heat_bands.rs` for the bands. The bands are fixed, so that any two sections compare:
//! finer where killing and setting change fast. What is drawn is half a jar and its mirror image.

use maud::{Markup, html};

use super::contour::{Field, Outlines, halves};
use super::heat_bands::{BAND_EDGES_C, band_of, heat, lying_key, upright_key};
use super::ink::PALE_BANDS;
use super::{Anchor, Room, Scale, Stroke, axes, bold, folded, letters_in, line, picture, px, strokes, text, width_of};
use crate::words::both_scales;

/// Most frames of a film.
pub const MOST_FRAMES: usize = 20;
/// Most jars of a strip.
const MOST_JARS: usize = 6;
/// Most nodes of the field drawn along each axis; of more, every second or third is left out.
const MOST_NODES: usize = 64;
/// Differences nobody measures in a jar [K].
const EVEN_K: f64 = 0.5;

/// What stands around a jar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// A bath.
    Water,
    /// A room, a shelf, a refrigerator.
    Air,
}

impl Medium {
    const fn word(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Air => "air",
        }
    }
}

/// What is around, and how hot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Around {
    /// Water or air.
    pub medium: Medium,
    /// Its temperature [°C].
    pub c: f64,
}

/// A jar at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// The moment [min].
    pub at_min: f64,
    /// What goes on then: `hold`; may be empty.
    pub words: String,
    /// Temperatures of the food [°C], row by row from the base up, each row from the axis out.
    pub celsius: Vec<f64>,
    /// What is around.
    pub around: Around,
}

/// A jar and its temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct JarSection {
    /// Unique on its page: letters, digits, hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// Where the field is known, from the axis out [mm], rising.
    pub r_mm: Vec<f64>,
    /// Where the field is known, above the inside of the base [mm], rising.
    pub z_mm: Vec<f64>,
    /// Radius of the food, to the inside of the glass [mm].
    pub inner_radius_mm: f64,
    /// Height of the food [mm].
    pub food_mm: f64,
    /// Empty height above the food [mm].
    pub headspace_mm: f64,
    /// Thickness of the glass at the side [mm].
    pub wall_mm: f64,
    /// Thickness of the glass at the base [mm].
    pub base_mm: f64,
    /// Moments, in order of time.
    pub frames: Vec<Frame>,
}

impl JarSection {
    /// Whether the jar has a size and a grid.
    fn stands(&self) -> bool {
        let size = |mm: f64, least: f64| mm.is_finite() && mm >= least && mm < 1e5;
        let rising = |axis: &[f64]| {
            axis.iter().all(|mm| size(*mm, 0.0)) && axis.windows(2).all(|w| w[1] > w[0]) && !axis.is_empty()
        };
        size(self.inner_radius_mm, 1.0)
            && size(self.food_mm, 1.0)
            && [self.headspace_mm, self.wall_mm, self.base_mm]
                .into_iter()
                .all(|mm| size(mm, 0.0))
            && rising(&self.r_mm)
            && rising(&self.z_mm)
    }

    /// Frames whose every temperature is known, of a jar that stands.
    fn whole(&self) -> Vec<&Frame> {
        if !self.stands() {
            return Vec::new();
        }
        let nodes = self.r_mm.len() * self.z_mm.len();
        let known = |f: &&Frame| f.celsius.len() == nodes && f.celsius.iter().all(|c| c.is_finite() && c.abs() < 1e4);
        self.frames.iter().filter(known).collect()
    }

    /// The coldest and the warmest place: radius, height, temperature.
    fn extremes(&self, frame: &Frame) -> Option<[(f64, f64, f64); 2]> {
        let places = || {
            let grid = self.z_mm.iter().flat_map(|&z| self.r_mm.iter().map(move |&r| (r, z)));
            grid.zip(&frame.celsius).map(|((r, z), &c)| (r, z, c))
        };
        let coldest = places().min_by(|a, b| a.2.total_cmp(&b.2))?;
        let warmest = places().reduce(|a, b| if b.2 > a.2 { b } else { a })?;
        Some([coldest, warmest])
    }

    fn where_words(&self, (r, z, _): (f64, f64, f64)) -> String {
        let (across, up) = (r / self.inner_radius_mm, z / self.food_mm);
        let side = match across {
            a if a < 0.15 => "in the middle".to_owned(),
            a if a > 0.85 => "at the side glass".to_owned(),
            _ => format!("{r:.0} mm from the middle"),
        };
        match up {
            u if u < 0.05 => format!("{side}, at the base"),
            u if u > 0.95 => format!("{side}, at the top of the food"),
            _ => format!("{side}, {z:.0} mm above the base"),
        }
    }

    /// The section at a moment in words.
    fn told(&self, frame: &Frame) -> Option<String> {
        let [cold, warm] = self.extremes(frame)?;
        let food = if warm.2 - cold.2 < EVEN_K {
            format!("{} throughout", both_scales(cold.2, 0))
        } else {
            format!(
                "Coldest {} {}; warmest {} {}",
                both_scales(cold.2, 0),
                self.where_words(cold),
                both_scales(warm.2, 0),
                self.where_words(warm)
            )
        };
        let around = if frame.around.c.is_finite() {
            format!(
                "; the {} around is at {}",
                frame.around.medium.word(),
                both_scales(frame.around.c, 0)
            )
        } else {
            String::new()
        };
        Some(format!("{food}{around}."))
    }
}

/// What a section shows, in words: coldest, warmest, around; nothing where it cannot be drawn.
#[must_use]
pub fn section_told(jar: &JarSection, frame: usize) -> Option<String> {
    let frame = jar.frames.get(frame)?;
    jar.whole()
        .into_iter()
        .find(|f| std::ptr::eq(*f, frame))
        .and_then(|f| jar.told(f))
}

/// A jar's place on a picture.
struct Stand {
    /// The axis.
    middle: f64,
    /// The inside of the base.
    base: f64,
    /// Lengths of a millimetre.
    mm: f64,
    /// The surroundings: left, top, right, foot.
    around: [f64; 4],
}

impl Stand {
    /// The largest jar that fits into a box with room around it for what surrounds it.
    fn new(jar: &JarSection, [left, top, right, foot]: [f64; 4], side: f64, above: f64) -> Self {
        let (wide, high) = (right - left - 2.0 * side, foot - top - above - LID - side);
        let outer = 2.0 * (jar.inner_radius_mm + jar.wall_mm);
        let tall = jar.base_mm + jar.food_mm + jar.headspace_mm;
        let mm = (wide / outer).min(high / tall);
        let foot = top + above + LID + tall * mm + side;
        Self {
            middle: left.midpoint(right),
            base: foot - side - jar.base_mm * mm,
            mm,
            around: [left, top, right, foot],
        }
    }

    fn across(&self, r_mm: f64) -> f64 {
        self.middle + r_mm * self.mm
    }

    fn up(&self, z_mm: f64) -> f64 {
        self.base - z_mm * self.mm
    }
}

const LID: f64 = 5.0;

/// Nodes left of an axis with too many.
fn some(many: usize) -> Vec<usize> {
    let step = many.div_ceil(MOST_NODES).max(1);
    let mut kept: Vec<usize> = (0..many).step_by(step).collect();
    if kept.last() != Some(&(many - 1)) {
        kept.push(many - 1);
    }
    kept
}

/// The field on the picture: mirrored at the axis, carried on to the glass, the base and the top.
fn spread(jar: &JarSection, frame: &Frame, at: &Stand) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
    let (r, z) = (some(jar.r_mm.len()), some(jar.z_mm.len()));
    let mut across: Vec<(f64, usize)> = r
        .iter()
        .map(|&i| (jar.r_mm[i].min(jar.inner_radius_mm), i))
        .filter(|(mm, _)| *mm > 0.0 || jar.r_mm.len() == 1)
        .collect();
    let outermost = r[r.len() - 1];
    across.push((jar.inner_radius_mm, outermost));
    let axis = (jar.r_mm[0] <= 0.0).then_some((0.0, 0));
    let mirrored = across.iter().rev().map(|&(mm, i)| (-mm, i));
    let columns: Vec<(f64, usize)> = mirrored.chain(axis).chain(across.iter().copied()).collect();
    let mut rows: Vec<(f64, usize)> = vec![(0.0, z[0])];
    rows.extend(z.iter().map(|&j| (jar.z_mm[j].min(jar.food_mm), j)));
    rows.push((jar.food_mm, z[z.len() - 1]));
    let values = rows
        .iter()
        .flat_map(|&(_, j)| columns.iter().map(move |&(_, i)| (i, j)))
        .map(|(i, j)| frame.celsius[j * jar.r_mm.len() + i])
        .collect();
    let x = columns.iter().map(|&(mm, _)| at.across(mm)).collect();
    let y = rows.iter().map(|&(mm, _)| at.up(mm)).collect();
    (x, y, values)
}

/// A box taken by words, so that other words keep off.
#[derive(Clone, Copy)]
struct Taken {
    x: f64,
    y: f64,
    wide: f64,
    high: f64,
}

impl Taken {
    fn clear_of(&self, other: &Self) -> bool {
        (self.x - other.x).abs() * 2.0 > self.wide + other.wide
            || (self.y - other.y).abs() * 2.0 > self.high + other.high
    }
}

/// How much is written into a jar.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Writing {
    /// Coldest place and surroundings in words.
    Full,
    /// Contours alone; the words stand under the jar.
    Small,
}

/// What changes from moment to moment: surroundings, bands, contours, cold spot.
///
/// `glass` is the id of the jar's glass, drawn between the bands and the words.
fn moment(jar: &JarSection, frame: &Frame, at: &Stand, glass: &str, writing: Writing) -> Option<Markup> {
    let [cold, warm] = jar.extremes(frame)?;
    let (x, y, values) = spread(jar, frame, at);
    let field = Field {
        x: &x,
        y: &y,
        values: &values,
    };
    let (lowest, highest) = (band_of(cold.2), band_of(warm.2));
    let contours: Vec<(usize, Outlines)> = (lowest..highest)
        .map(|edge| (edge, field.outlines(BAND_EDGES_C[edge])))
        .collect();
    let [left, top, right, foot] = at.around;
    let radius = jar.inner_radius_mm;
    let food = [at.across(-radius), at.up(jar.food_mm), at.across(radius), at.up(0.0)];
    let (cold_x, cold_y) = (at.across(cold.0), at.up(cold.1));
    let even = warm.2 - cold.2 < EVEN_K;
    let words = both_scales(cold.2, 0);
    // Two rows under the coldest place, or over it where the base is near.
    let under = cold_y + 40.0 < food[3];
    let first_row = if under { cold_y + 19.0 } else { cold_y - 24.0 };
    // Words stay within the glass where it is wide enough for them.
    let half = 46.0_f64.min((food[2] - food[0]) / 2.0);
    let words_x = cold_x.max(food[0] + half).min(food[2] - half);
    let mut taken = vec![Taken {
        x: cold_x,
        y: cold_y,
        wide: 16.0,
        high: 16.0,
    }];
    if writing == Writing::Full {
        taken.push(Taken {
            x: words_x,
            y: first_row + 2.0,
            wide: 96.0,
            high: 30.0,
        });
    }
    let labels: Vec<(f64, f64, String)> = contours
        .iter()
        .filter_map(|(edge, outlines)| {
            let (x, y) = label_place(outlines, food, &mut taken, writing)?;
            Some((x, y, format!("{}°", px(BAND_EDGES_C[*edge]))))
        })
        .collect();
    let (base_class, base_fill) = heat(lowest);
    Some(html! {
        @if frame.around.c.is_finite() {
            @let (class, fill) = heat(band_of(frame.around.c));
            rect class=(class) fill=(fill) x=(px(left)) y=(px(top)) width=(px(right - left)) height=(px(foot - top)) {}
        }
        rect class=(base_class) fill=(base_fill) x=(px(food[0])) y=(px(food[1]))
            width=(px(food[2] - food[0])) height=(px(food[3] - food[1])) {}
        g transform="scale(.5)" fill-rule="evenodd" stroke-width="1.8" stroke-linejoin="round" {
            @for (edge, outlines) in &contours {
                @let (class, fill) = heat(edge + 1);
                @let (edge_class, edge_ink) = if edge + 1 < PALE_BANDS { ("ink-on-pale", "#000") } else { ("ink-on-deep", "#fff") };
                path class=(format!("{class} {edge_class}")) fill=(fill) stroke=(edge_ink) d=(halves(outlines)) {}
            }
        }
        use href=(format!("#{glass}")) {}
        g text-anchor="middle" class="ink-halo" stroke="#fff" stroke-width="4" stroke-linejoin="round" paint-order="stroke" {
            @for (x, y, words) in &labels {
                text x=(px(*x)) y=(px(y + 4.0)) { (words) }
            }
            @if writing == Writing::Full {
                text x=(px(words_x)) y=(px(first_row)) { @if even { "throughout" } @else { "coldest" } }
                text x=(px(words_x)) y=(px(first_row + 13.0)) font-weight="700" { (words) }
                @if frame.around.c.is_finite() {
                    text x=(px(at.middle)) y=(px(top + 14.0)) {
                        (frame.around.medium.word()) " around " (both_scales(frame.around.c, 0))
                    }
                }
            }
        }
        @if !even {
            g transform=(format!("translate({} {})", px(cold_x), px(cold_y))) {
                circle r="5.5" class="ink-open" fill="#fff" stroke="#000" stroke-width="1.4" {}
                path d="M-8.5 0H8.5M0-8.5V8.5" class="ink-line" fill="none" stroke="#000" stroke-width="1.2" {}
            }
        }
    })
}

/// Where a contour's label stands: on the contour, off the glass, off other words.
fn label_place(
    outlines: &[Vec<(f64, f64)>],
    food: [f64; 4],
    taken: &mut Vec<Taken>,
    writing: Writing,
) -> Option<(f64, f64)> {
    let [left, top, right, foot] = food;
    let off_rim = |x: f64, y: f64| (x - left).min(right - x).min(y - top).min(foot - y);
    let (wide, high) = match writing {
        Writing::Full => (26.0, 14.0),
        Writing::Small => (22.0, 12.0),
    };
    let mut best: Option<(f64, Taken)> = None;
    for &(x, y) in outlines.iter().flatten() {
        let off = off_rim(x, y);
        // A small jar's contour that keeps to a corner goes without: its words would cover the corner.
        if off < 1.0 || (writing == Writing::Small && off < 8.0) {
            continue;
        }
        // Beside a contour close to the glass the label stands inside of it, not on the glass.
        let beside = |v: f64, from: f64, to: f64, long: f64| {
            let room = (long / 2.0 + 1.0).min((to - from) / 2.0);
            v.max(from + room).min(to - room)
        };
        let (x, y) = (beside(x, left, right, wide), beside(y, top, foot, high));
        let here = Taken { x, y, wide, high };
        if !taken.iter().all(|other| here.clear_of(other)) {
            continue;
        }
        let apart = taken.iter().map(|t| (x - t.x).hypot(y - t.y)).fold(60.0, f64::min);
        let score = apart + 3.0 * off.min(14.0);
        if best.as_ref().is_none_or(|(most, _)| score > *most + 1e-6) {
            best = Some((score, here));
        }
    }
    let (_, place) = best?;
    taken.push(place);
    Some((place.x, place.y))
}

/// The glass with its lid, over the bands: they end behind it.
fn glass(jar: &JarSection, at: &Stand, words: bool) -> Markup {
    let (inner, outer) = (jar.inner_radius_mm, jar.inner_radius_mm + jar.wall_mm);
    let (left, right) = (at.across(-outer), at.across(outer));
    let (in_left, in_right) = (at.across(-inner), at.across(inner));
    let rim = at.up(jar.food_mm + jar.headspace_mm);
    let (floor, foot, surface) = (at.up(0.0), at.up(-jar.base_mm), at.up(jar.food_mm));
    let round = (4.0 * at.mm).min(6.0);
    let d = format!(
        "M{l} {rim}V{low}Q{l} {foot} {l2} {foot}H{r2}Q{r} {foot} {r} {low}V{rim}H{ir}V{floor}H{il}V{rim}Z",
        l = px(left),
        r = px(right),
        l2 = px(left + round),
        r2 = px(right - round),
        low = px(foot - round),
        rim = px(rim),
        foot = px(foot),
        ir = px(in_right),
        il = px(in_left),
        floor = px(floor),
    );
    let tall = surface - rim;
    html! {
        rect class="ink-ground" fill="#fff" x=(px(in_left)) y=(px(rim)) width=(px(in_right - in_left)) height=(px(tall.max(0.0))) {}
        path d=(d) class="ink-open" fill="#fff" stroke="#000" stroke-width="1.2" stroke-linejoin="round" {}
        rect class="ink-solid" fill="#000" stroke="#000" stroke-width="0.6" x=(px(left - 2.0)) y=(px(rim - LID + 1.0))
            width=(px(right - left + 4.0)) height=(px(LID - 1.5)) {}
        (line(in_left, surface, in_right, surface, Stroke::Fine))
        @if words && tall > 13.0 {
            (text(in_left + 7.0, rim + tall / 2.0 + 4.0, Anchor::Start, "headspace"))
        }
    }
}

/// The moment: `85 min, hold`.
fn moment_words(frame: &Frame) -> String {
    let minutes = if frame.at_min.is_finite() {
        axes::count(frame.at_min, 1.0)
    } else {
        "?".into()
    };
    let comma = if frame.words.is_empty() { "" } else { ", " };
    format!("{minutes} min{comma}{}", frame.words)
}

const WIDTH: f64 = 360.0;
const BOX_LEFT: f64 = 38.0;
const BOX_RIGHT: f64 = 262.0;
const BOX_HIGH: f64 = 330.0;
const ROW: f64 = 16.0;

/// A jar at one moment with title, heights in mm, width and the bands' temperatures.
fn section(jar: &JarSection, frame: &Frame, id: &str, desc: &str) -> Markup {
    let title = folded(&jar.title, letters_in(WIDTH * 0.92));
    let moment_y = ROW * (title.len() as f64 + 1.0);
    let top = moment_y + 12.0;
    let at = Stand::new(jar, [BOX_LEFT, top, BOX_RIGHT, top + BOX_HIGH], 16.0, 24.0);
    let foot = at.around[3];
    let up = Scale::new(0.0, jar.food_mm, at.up(0.0), at.up(jar.food_mm));
    let outer = jar.inner_radius_mm + jar.wall_mm;
    let (ticks, step) = up.marks(28.0);
    let glass_id = format!("{id}-glass");
    let (from, to) = (at.across(-outer), at.across(outer));
    // The line that measures the jar leaves its middle to the figure.
    let wide = format!("{:.0} mm", 2.0 * outer);
    let gap = (width_of(&wide) / 2.0 + 4.0).min((to - from) / 2.0);
    let level = foot + 10.0;
    let measure = [
        [from, level, at.middle - gap, level],
        [at.middle + gap, level, to, level],
        [from, level - 4.0, from, level + 4.0],
        [to, level - 4.0, to, level + 4.0],
    ];
    let inside = html! {
        @for (i, row) in title.iter().enumerate() { (bold(4.0, ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, row)) }
        defs { g id=(glass_id) { (glass(jar, &at, true)) } }
        (text(4.0, moment_y - 1.0, Anchor::Start, &moment_words(frame)))
        @if let Some(drawn) = moment(jar, frame, &at, &glass_id, Writing::Full) { (drawn) }
        (strokes(ticks.iter().map(|tick| [BOX_LEFT - 4.0, up.at(*tick), BOX_LEFT, up.at(*tick)]), Stroke::Fine))
        @for tick in ticks {
            (text(BOX_LEFT - 6.0, up.at(tick) + 4.0, Anchor::End, &axes::count(tick, step)))
        }
        (line(BOX_LEFT, up.at(0.0), BOX_LEFT, up.at(jar.food_mm), Stroke::Fine))
        (bold(BOX_LEFT - 6.0, up.at(jar.food_mm) - 14.0, Anchor::End, "mm"))
        (strokes(measure.into_iter(), Stroke::Fine))
        (text(at.middle, foot + 14.0, Anchor::Middle, &wide))
        (upright_key(306.0, top + 10.0, foot))
    };
    picture(id, &jar.title, desc, WIDTH, foot + 22.0, &inside)
}

/// Draws a jar at one moment; nothing without a whole field and a jar to hold it.
#[must_use]
pub fn jar_section(jar: &JarSection, frame: usize) -> Option<Markup> {
    let desc = section_told(jar, frame)?;
    let frame = jar.frames.get(frame)?;
    let desc = format!("{}: {desc}", moment_words(frame));
    Some(section(jar, frame, &jar.id, &desc))
}

/// One moment of a jar as a picture by itself.
#[derive(Debug, Clone)]
pub struct JarFrame {
    /// The moment [min].
    pub at_min: f64,
    /// The moment and what the picture shows, in words.
    pub told: String,
    /// The picture; its id is the jar's with `-frame-` and the frame's number from 0.
    pub picture: Markup,
}

/// Draws up to [`MOST_FRAMES`] moments as pictures of one size, evenly chosen, the first and the last among them.
#[must_use]
pub fn jar_frames(jar: &JarSection) -> Vec<JarFrame> {
    let frames = evenly(jar.whole(), MOST_FRAMES);
    let drawn = frames.into_iter().enumerate().filter_map(|(i, frame)| {
        let told = format!("{}: {}", moment_words(frame), jar.told(frame)?);
        let picture = section(jar, frame, &format!("{}-frame-{i}", jar.id), &told);
        Some(JarFrame {
            at_min: frame.at_min,
            told,
            picture,
        })
    });
    drawn.collect()
}

/// Draws up to six moments side by side, evenly chosen, the first and the last among them.
#[must_use]
pub fn jar_strip(jar: &JarSection, room: Room) -> Option<Markup> {
    let frames = evenly(jar.whole(), MOST_JARS);
    let (first, last) = (frames.first()?, frames.last()?);
    let width = room.width();
    let columns = if room == Room::Wide { MOST_JARS } else { 3 };
    let title = folded(&jar.title, letters_in(width * 0.92));
    let top = ROW * title.len() as f64 + 8.0;
    let cell = width / columns as f64;
    let high = cell * 1.5;
    let at = Stand::new(jar, [3.0, 0.0, cell - 3.0, high], 9.0, 9.0);
    let words_y = at.around[3] + 16.0;
    let row = words_y + 3.0 * ROW + 8.0;
    let rows = frames.len().div_ceil(columns);
    let key = top + row * rows as f64 + 18.0;
    let id = room.id(&format!("{}-strip", jar.id));
    let glass_id = format!("{id}-glass");
    let inside = html! {
        @for (i, words) in title.iter().enumerate() { (bold(4.0, ROW * (i as f64 + 1.0) - 3.0, Anchor::Start, words)) }
        defs { g id=(glass_id) { (glass(jar, &at, false)) } }
        @for (i, frame) in frames.iter().enumerate() {
            @let (x, y) = (cell * (i % columns) as f64, top + row * (i / columns) as f64);
            g transform=(format!("translate({} {})", px(x), px(y))) {
                @if let Some(drawn) = moment(jar, frame, &at, &glass_id, Writing::Small) { (drawn) }
                (bold(4.0, words_y, Anchor::Start, &moment_words(&Frame { words: String::new(), ..(*frame).clone() })))
                (text(4.0, words_y + ROW, Anchor::Start, &short(&frame.words, letters_in(cell - 8.0))))
                @if let Some([cold, _]) = jar.extremes(frame) {
                    (text(4.0, words_y + 2.0 * ROW, Anchor::Start, &both_scales(cold.2, 0)))
                }
            }
        }
        (lying_key(key, 34.0, width - 10.0))
        (text(34.0, key + 46.0, Anchor::Start, "Under each jar: the moment and its coldest place."))
    };
    let told = |frame: &Frame| format!("{}: {}", moment_words(frame), jar.told(frame).unwrap_or_default());
    let desc = format!("{} moments. {} {}", frames.len(), told(first), told(last));
    Some(picture(&id, &jar.title, &desc, width, key + 54.0, &inside))
}

fn short(words: &str, letters: usize) -> String {
    folded(words, letters).into_iter().next().unwrap_or_default()
}

/// At most `most` of many, evenly chosen, the first and the last among them.
fn evenly(all: Vec<&Frame>, most: usize) -> Vec<&Frame> {
    if all.len() <= most {
        return all;
    }
    (0..most).map(|i| all[i * (all.len() - 1) / (most - 1)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(at_min: f64, celsius: Vec<f64>) -> Frame {
        Frame {
            at_min,
            words: "hold <&>".into(),
            celsius,
            around: Around {
                medium: Medium::Water,
                c: 100.0,
            },
        }
    }

    /// Cold in the middle 40 mm above the base, warm at the side, as a bowl.
    fn bowl(nodes: usize, frames: usize) -> JarSection {
        let axis = |long: f64| {
            (0..nodes)
                .map(|i| long * i as f64 / (nodes - 1) as f64)
                .collect::<Vec<_>>()
        };
        let (r_mm, z_mm) = (axis(40.0), axis(100.0));
        let at = |lift: f64| {
            let grid = z_mm.iter().flat_map(|&z| r_mm.iter().map(move |&r| (r, z)));
            grid.map(|(r, z)| (lift + 25.0 * (r / 40.0).powi(2) + 0.002 * (z - 40.0).powi(2)).min(99.0))
                .collect()
        };
        let moments = (0..frames).map(|i| frame(5.0 * i as f64, at(74.0 - 60.0 * i as f64 / frames as f64)));
        JarSection {
            id: "j".into(),
            title: "jar <1>".into(),
            frames: moments.collect(),
            r_mm,
            z_mm,
            inner_radius_mm: 40.0,
            food_mm: 100.0,
            headspace_mm: 8.0,
            wall_mm: 2.5,
            base_mm: 4.0,
        }
    }

    fn svg(drawn: Option<Markup>) -> String {
        drawn.map(maud::PreEscaped::into_string).unwrap_or_default()
    }

    #[test]
    fn a_section_is_told_in_words() {
        let told = section_told(&bowl(11, 1), 0).unwrap_or_default();
        let expected = "Coldest 74 °C (165 °F) in the middle, 40 mm above the base; warmest 99 °C (210 °F) \
                        at the side glass, at the base; the water around is at 100 °C (212 °F).";
        assert_eq!(told, expected);
        let mut even = bowl(11, 1);
        even.frames[0].celsius.fill(55.0);
        even.frames[0].around.c = f64::NAN;
        assert_eq!(section_told(&even, 0).unwrap_or_default(), "55 °C (131 °F) throughout.");
    }

    #[test]
    fn contours_cold_spot_and_both_scales_are_in_the_picture() {
        let svg = svg(jar_section(&bowl(21, 1), 0));
        for words in [
            "jar &lt;1&gt;",
            "hold &lt;&amp;&gt;",
            ">80°<",
            ">85°<",
            ">90°<",
            ">95°<",
            "74 °C (165 °F)",
            ">°C<",
            ">°F<",
            ">mm<",
            "water around 100 °C (212 °F)",
            "headspace",
            "85 mm",
            "ink-heat-4",
            "ink-heat-8",
        ] {
            assert!(svg.contains(words), "{words}");
        }
        assert!(
            !svg.contains("NaN") && !svg.contains("style") && !svg.contains("ink-heat-3\" fill=\"#d29f9c\" stroke")
        );
    }

    #[test]
    fn frames_are_small_pictures_of_one_size_from_the_first_moment_to_the_last() {
        let frames = jar_frames(&bowl(40, 60));
        assert_eq!(frames.len(), MOST_FRAMES);
        assert!((frames[0].at_min, frames[MOST_FRAMES - 1].at_min) == (0.0, 295.0));
        let boxes: Vec<String> = frames
            .iter()
            .map(|frame| {
                let svg = &frame.picture.0;
                assert!(svg.len() < 12_000, "{}", svg.len());
                assert!(frame.told.contains("Coldest") && frame.told.contains("warmest"));
                svg.split("viewBox=")
                    .nth(1)
                    .unwrap()
                    .split('>')
                    .next()
                    .unwrap()
                    .split("aria")
                    .next()
                    .unwrap()
                    .to_owned()
            })
            .collect();
        assert!(boxes.windows(2).all(|pair| pair[0] == pair[1]));
    }

    #[test]
    fn a_strip_has_the_first_and_the_last_moment() {
        for room in [Room::Narrow, Room::Wide] {
            let strip = svg(jar_strip(&bowl(20, 25), room));
            assert!(strip.contains(">0 min<") && strip.contains(">120 min<") && strip.matches("<use").count() == 6);
        }
    }

    #[test]
    fn ten_thousand_nodes_are_drawn_and_one_is() {
        let many = svg(jar_section(&bowl(100, 1), 0));
        assert!(!many.is_empty() && many.len() < 20_000, "{}", many.len());
        let mut one = bowl(11, 1);
        (one.r_mm, one.z_mm) = (vec![0.0], vec![50.0]);
        one.frames[0].celsius = vec![60.0];
        assert!(svg(jar_section(&one, 0)).contains("throughout"));
    }

    #[test]
    fn what_cannot_be_drawn_is_no_picture_and_no_panic() {
        let broken: [fn(&mut JarSection); 9] = [
            |j| j.frames.clear(),
            |j| j.frames[0].celsius[3] = f64::NAN,
            |j| j.frames[0].celsius.truncate(5),
            |j| j.r_mm.clear(),
            |j| j.z_mm[2] = f64::INFINITY,
            |j| j.r_mm.reverse(),
            |j| j.inner_radius_mm = 0.0,
            |j| j.food_mm = f64::NAN,
            |j| j.wall_mm = -1.0,
        ];
        for spoil in broken {
            let mut jar = bowl(11, 1);
            spoil(&mut jar);
            assert!(jar_section(&jar, 0).is_none() && jar_frames(&jar).is_empty());
            assert!(jar_strip(&jar, Room::Wide).is_none() && section_told(&jar, 0).is_none());
        }
        assert!(jar_section(&bowl(11, 1), 7).is_none());
    }

    #[test]
    fn odd_jars_and_long_words_do_not_break_a_picture() {
        for (radius, food, headspace) in [(1.0, 9e4, 0.0), (9e4, 1.0, 0.0), (40.0, 100.0, 9e4), (5.0, 10.0, 0.0)] {
            let mut jar = bowl(11, 3);
            (jar.inner_radius_mm, jar.food_mm, jar.headspace_mm) = (radius, food, headspace);
            jar.title = "word ".repeat(60);
            jar.frames[0].words = "word ".repeat(60);
            jar.frames[1].at_min = f64::NAN;
            let mut all = vec![svg(jar_section(&jar, 0)), svg(jar_strip(&jar, Room::Narrow))];
            all.extend(jar_frames(&jar).into_iter().map(|frame| frame.picture.0));
            for drawn in all {
                assert!(!drawn.is_empty() && !drawn.contains("NaN") && !drawn.contains("=\"-inf"));
            }
        }
    }
}
