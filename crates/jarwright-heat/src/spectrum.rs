//! Eigenfunctions of one direction of a jar: food, glass on its outer face, a film at each end.
//!
//! ```text
//! w L f = -(a f')'     -k f' = h f at the ends     food cos or J0, glass cos
//! ```
//!
//! Roots are found on the angle between heat flow and temperature, which only rises: one root a
//! half turn, for any film from none to endless. Source: `carslaw_jaeger_1959` for the functions.

use std::f64::consts::PI;

use crate::bessel::j01;

/// Newton steps and halvings a root may take.
const TURNS: usize = 60;
/// A step of this share of the root is the last: what is left is a twentieth of its square.
const LAST_STEP: f64 = 3e-6;

/// Which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Way {
    #[default]
    /// From the axis out; the length is the food's radius.
    Round,
    /// From the base (outer end) to the top; the length is the food's height.
    Upright,
}

/// Glass on the outer face, thin against the length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Glass {
    pub(crate) thick_m: f64,
    pub(crate) k_w_mk: f64,
    pub(crate) heat_j_m3k: f64,
}

/// One direction, before its films are known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Direction {
    pub(crate) way: Way,
    pub(crate) length_m: f64,
    pub(crate) k_w_mk: f64,
    pub(crate) heat_j_m3k: f64,
    pub(crate) glass: Option<Glass>,
}

/// Temperature and outward heat flow of a function at an end of its direction; the flow over the
/// food's heat capacity and length, so that it is a rate [1/s].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct End {
    pub(crate) value: f64,
    pub(crate) flow: f64,
}

/// One eigenfunction. Its square has the weighted mean 1 over food and glass, the food's weight
/// being 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Mode {
    /// Rate at which it dies along its own direction [1/s].
    pub(crate) rate: f64,
    /// Weighted integral over food and glass [-].
    pub(crate) whole: f64,
    /// Mean over the food [-].
    pub(crate) food: f64,
    /// Value on the axis, or at half the height [-].
    pub(crate) middle: f64,
    pub(crate) outer: End,
    pub(crate) top: End,
    way: Way,
    root: f64,
    turn: f64,
    size: f64,
    /// In the glass: angle through it, angle at the outer face, size, and the glass's weight.
    glass: [f64; 4],
}

/// Mean of cos(a v - c) cos(b v - d) over v from 0 to 1.
fn mean_of_cosines((a, c): (f64, f64), (b, d): (f64, f64)) -> f64 {
    let mean = |p: f64, q: f64| {
        let half = 0.5 * p;
        let share = if half.abs() < 1e-8 { 1.0 } else { half.sin() / half };
        share * (half - q).cos()
    };
    0.5 * (mean(a - b, c - d) + mean(a + b, c + d))
}

impl Mode {
    /// Value in the food at a share of its height, 0 at the base (upright functions only).
    pub(crate) fn at_height(&self, share: f64) -> f64 {
        self.size * (self.root * (1.0 - share) - self.turn).cos()
    }

    /// Value and slope [1/m] in the food at a share of its length, from axis or base.
    pub(crate) fn in_food(&self, share: f64, length_m: f64) -> (f64, f64) {
        match self.way {
            Way::Round => {
                let (j0, j1) = j01(self.root * share);
                (self.size * j0, -self.size * j1 * self.root / length_m)
            }
            Way::Upright => {
                let (sin, cos) = (self.root * (1.0 - share) - self.turn).sin_cos();
                (self.size * cos, self.size * sin * self.root / length_m)
            }
        }
    }

    /// Value and slope [1/m] in the glass at a share of its thickness, from the food outward.
    pub(crate) fn in_glass(&self, share: f64, thick_m: f64) -> (f64, f64) {
        let [through, outer, size, _] = self.glass;
        let (sin, cos) = ((1.0 - share) * through - outer).sin_cos();
        (size * cos, size * sin * through / thick_m)
    }

    /// Weighted integral of the product with a function of the same direction under other films.
    pub(crate) fn overlap(&self, other: &Self) -> f64 {
        let apart = self.rate - other.rate;
        if apart.abs() <= 1e-7 * self.rate.max(other.rate) {
            return self.overlap_at_one_rate(other);
        }
        let across = |a: End, b: End| a.flow * b.value - a.value * b.flow;
        (across(self.outer, other.outer) + across(self.top, other.top)) / apart
    }

    /// The same where the two die alike: along the radius they are then the same function but for
    /// second-order terms; along the height they may be each other's mirror image.
    fn overlap_at_one_rate(&self, other: &Self) -> f64 {
        match self.way {
            Way::Round => 1.0,
            Way::Upright => {
                let food = mean_of_cosines((self.root, self.turn), (other.root, other.turn));
                let ([a, c, size, weight], [b, d, other_size, _]) = (self.glass, other.glass);
                let glass = weight * size * other_size * mean_of_cosines((a, c), (b, d));
                self.size * other.size * food + glass
            }
        }
    }
}

/// The angle equation of one direction under its films, in x = length times wave number.
struct Angle {
    way: Way,
    /// h L/k of the outer film, where it acts on the food itself.
    outer: f64,
    /// h L/k of the top's film.
    top: f64,
    glass: Option<GlassAngle>,
}

struct GlassAngle {
    /// tan of the angle at the outer face, times x.
    film: f64,
    /// Angle through the glass over x.
    through: f64,
    /// Ratio of the effusivities of glass and food, by the areas they meet over.
    ratio: f64,
}

impl GlassAngle {
    /// Angle at the glass's inner face, and how it changes with x.
    fn inner(&self, x: f64) -> (f64, f64) {
        let angle = (self.film / x).atan() - self.through * x;
        let slope = -self.film / (x * x + self.film * self.film) - self.through;
        (angle, slope)
    }
}

impl Angle {
    /// Angle of the food's flow less the angle of what takes it, and its slope.
    fn excess(&self, x: f64) -> (f64, f64) {
        if let (Way::Upright, None) = (self.way, &self.glass) {
            // Both films' angles in one arc tangent.
            let (outer, top, square) = (self.outer, self.top, x * x);
            let taken = (x * (outer + top)).atan2(square - outer * top);
            let slope = outer / (square + outer * outer) + top / (square + top * top);
            return (x - taken, 1.0 + slope);
        }
        let (food, food_slope) = match self.way {
            Way::Upright => (
                x - (self.top / x).atan(),
                1.0 + self.top / (x * x + self.top * self.top),
            ),
            Way::Round => {
                let (j0, j1) = j01(x);
                let raw = (j1 / j0).atan();
                let whole = ((x - 0.25 * PI - raw) / PI).round() * PI;
                let square = j0 * j0 + j1 * j1;
                (raw + whole, 1.0 - j0 * j1 / (x * square))
            }
        };
        let (taken, taken_slope) = match &self.glass {
            None => ((self.outer / x).atan(), -self.outer / (x * x + self.outer * self.outer)),
            Some(glass) => {
                let (inner, slope) = glass.inner(x);
                let whole = (inner / PI).round() * PI;
                let (sin, cos) = (inner - whole).sin_cos();
                let angle = (glass.ratio * sin).atan2(cos);
                let gain = glass.ratio / (cos * cos + glass.ratio * glass.ratio * sin * sin);
                (whole + angle, gain * slope)
            }
        };
        (food - taken, food_slope - taken_slope)
    }

    /// Where the excess is `n` half turns, between `low` and `high`.
    fn root(&self, n: f64, mut low: f64, mut high: f64, guess: f64) -> f64 {
        let mut x = if guess > low && guess < high {
            guess
        } else {
            0.5 * (low + high)
        };
        for _ in 0..TURNS {
            let (excess, slope) = self.excess(x);
            let off = excess - n * PI;
            if off > 0.0 {
                high = x;
            } else {
                low = x;
            }
            let next = x - off / slope;
            let inside = next > low && next < high;
            let step = next - x;
            if step.abs() <= LAST_STEP * x {
                return if inside { next } else { x };
            }
            x = if inside { next } else { 0.5 * (low + high) };
        }
        x
    }
}

impl Direction {
    /// What a film across this direction reaches, food and glass, over what it reaches where glass
    /// counts by its heat capacity [-].
    pub(crate) fn rim(&self) -> f64 {
        let (_, middle, _) = self.areas();
        self.glass
            .map_or(1.0, |glass| (1.0 + middle * glass.thick_m) / self.weight())
    }

    /// Area of the outer face per volume of food [1/m].
    pub(crate) fn outer_area(&self) -> f64 {
        self.areas().2
    }

    /// Volume of the glass over the food's [-].
    pub(crate) fn glass_volume(&self) -> f64 {
        let (_, middle, _) = self.areas();
        self.glass.map_or(0.0, |glass| middle * glass.thick_m)
    }

    /// Areas at the food's face, in the glass and at its outer face, per volume of food [1/m].
    fn areas(&self) -> (f64, f64, f64) {
        let over = 1.0 / self.length_m;
        match (self.way, self.glass) {
            (Way::Upright, _) => (over, over, over),
            (Way::Round, None) => (2.0 * over, 2.0 * over, 2.0 * over),
            (Way::Round, Some(glass)) => {
                let area = |radius_m: f64| 2.0 * radius_m * over * over;
                let (inner, thick) = (self.length_m, glass.thick_m);
                (area(inner), area(inner + 0.5 * thick), area(inner + thick))
            }
        }
    }

    /// Heat capacity of food and glass over the food's [-].
    pub(crate) fn weight(&self) -> f64 {
        let (_, middle, _) = self.areas();
        1.0 + self
            .glass
            .map_or(0.0, |glass| middle * glass.thick_m * glass.heat_j_m3k / self.heat_j_m3k)
    }

    /// The functions that die no faster than `fastest` [1/s], slowest first, at least one and at
    /// most `most`.
    ///
    /// * `outer_w_m2k`, `top_w_m2k`: films [W/(m² K)], 0 to 1e9; the second only upright
    pub(crate) fn modes(&self, outer_w_m2k: f64, top_w_m2k: f64, fastest: f64, most: usize) -> Vec<Mode> {
        let (inner_area, glass_area, outer_area) = self.areas();
        let diffusivity = self.k_w_mk / self.heat_j_m3k;
        let glass = self.glass.map(|glass| {
            let slower = (diffusivity * glass.heat_j_m3k / glass.k_w_mk).sqrt();
            GlassAngle {
                film: outer_area * outer_w_m2k * self.length_m / (glass_area * glass.k_w_mk * slower),
                through: slower * glass.thick_m / self.length_m,
                ratio: glass_area * glass.k_w_mk * slower / (inner_area * self.k_w_mk),
            }
        });
        let biot = self.length_m / self.k_w_mk;
        let angle = Angle {
            way: self.way,
            outer: outer_w_m2k * biot,
            top: top_w_m2k * biot,
            glass,
        };
        let scale = diffusivity / (self.length_m * self.length_m);
        let farthest = (fastest / scale).sqrt();
        let mut modes: Vec<Mode> = Vec::with_capacity((farthest / PI).min(most as f64) as usize + 2);
        // The three roots before, the last one first.
        let mut roots = [0.0; 3];
        // The excess only rises: this many half turns of it lie below the last root that is wanted.
        let turns = angle.excess(farthest).0 / PI;
        for n in 0..most {
            let count = n as f64;
            if n > 0 && count > turns {
                break;
            }
            let root = if n == 0 && outer_w_m2k == 0.0 && top_w_m2k == 0.0 {
                0.0
            } else {
                let guess = match n {
                    0 => self.lumped_root(&angle),
                    1 => roots[0] + 0.95 * PI,
                    2 => 2.0 * roots[0] - roots[1],
                    _ => 3.0 * (roots[0] - roots[1]) + roots[2],
                };
                angle.root(count, roots[0], (count + 1.0) * PI, guess)
            };
            modes.push(self.mode(&angle, root));
            roots = [root, roots[0], roots[1]];
        }
        modes
    }

    /// Near the first root: as a lump where the films are weak, as a fixed face where strong.
    fn lumped_root(&self, angle: &Angle) -> f64 {
        let outer = match (self.glass, &angle.glass) {
            (Some(glass), Some(through)) => {
                let film = through.film * through.ratio;
                film / (1.0 + film * self.k_w_mk * glass.thick_m / (glass.k_w_mk * self.length_m))
            }
            _ => angle.outer,
        };
        let (faces, limit) = match self.way {
            Way::Round => (2.0 * outer, 5.783),
            Way::Upright if outer.min(angle.top) > 1.0 => (outer + angle.top, PI * PI),
            Way::Upright => (outer + angle.top, 0.25 * PI * PI),
        };
        (faces / (1.0 + faces / limit)).sqrt()
    }

    fn mode(&self, angle: &Angle, root: f64) -> Mode {
        if root == 0.0 {
            let even = End { value: 1.0, flow: 0.0 };
            let mode = Mode {
                whole: self.weight(),
                food: 1.0,
                middle: 1.0,
                outer: even,
                top: even,
                way: self.way,
                size: 1.0,
                glass: [0.0, 0.0, 1.0, self.weight() - 1.0],
                ..Mode::default()
            };
            return mode.scaled(self.weight());
        }
        let (inner_area, glass_area, _) = self.areas();
        let diffusivity = self.k_w_mk / self.heat_j_m3k;
        let wave = root / self.length_m;
        let rate = diffusivity * wave * wave;
        // A sine and a cosine from their tangent keep their digits at endless films.
        let split = |tangent: f64| {
            let cos = 1.0 / (1.0 + tangent * tangent).sqrt();
            (tangent * cos, cos)
        };
        let (turn, top) = match self.way {
            Way::Round => (0.0, End::default()),
            Way::Upright => {
                let (sin, cos) = split(angle.top / root);
                let flow = inner_area * diffusivity * wave * sin;
                ((angle.top / root).atan(), End { value: cos, flow })
            }
        };
        let top_sin = turn.sin();
        // Value and flow over its scale at the food's outer face.
        let (mut face, flow, food, mut square) = match self.way {
            Way::Round => {
                let (j0, j1) = j01(root);
                (j0, j1, 2.0 * j1 / root, j0 * j0 + j1 * j1)
            }
            Way::Upright => {
                let (sin, cos) = (root - turn).sin_cos();
                let square = 0.5 + 0.5 * (sin * cos + top_sin * top.value) / root;
                (cos, sin, (sin + top_sin) / root, square)
            }
        };
        let mut in_glass = [0.0; 4];
        let outer = match (&angle.glass, self.glass) {
            (Some(through), Some(glass)) => {
                let (inner, _) = through.inner(root);
                let (sin, cos) = inner.sin_cos();
                let size = face * cos + flow / through.ratio * sin;
                let (film_sin, film_cos) = split(through.film / root);
                let thick = through.through * root;
                let half = 0.5 + 0.5 * (film_sin * film_cos - sin * cos) / thick;
                let weight = glass_area * glass.thick_m * glass.heat_j_m3k / self.heat_j_m3k;
                square += weight * size * size * half;
                in_glass = [thick, inner + thick, size, weight];
                End {
                    value: size * film_cos,
                    flow: inner_area * diffusivity * wave * through.ratio * size * film_sin,
                }
            }
            _ => {
                let tangent = angle.outer / root;
                if tangent > 1.0 {
                    face = flow / tangent;
                }
                End {
                    value: face,
                    flow: inner_area * diffusivity * wave * flow,
                }
            }
        };
        let middle = match self.way {
            Way::Round => 1.0,
            Way::Upright => (0.5 * root - turn).cos(),
        };
        let mode = Mode {
            rate,
            whole: (outer.flow + top.flow) / rate,
            food,
            middle,
            outer,
            top,
            way: self.way,
            root,
            turn,
            size: 1.0,
            glass: in_glass,
        };
        mode.scaled(square)
    }
}

impl Mode {
    /// Divided by the root of its square's mean.
    fn scaled(mut self, square: f64) -> Self {
        let size = 1.0 / square.sqrt();
        self.size *= size;
        self.glass[2] *= size;
        self.whole *= size;
        self.food *= size;
        self.middle *= size;
        for end in [&mut self.outer, &mut self.top] {
            end.value *= size;
            end.flow *= size;
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn direction(way: Way, glass: bool) -> Direction {
        Direction {
            way,
            length_m: 0.04,
            k_w_mk: 0.45,
            heat_j_m3k: 3.3e6,
            glass: glass.then_some(Glass {
                thick_m: 0.003,
                k_w_mk: 1.05,
                heat_j_m3k: 2.1e6,
            }),
        }
    }

    const FILMS: [(f64, f64); 7] = [
        (0.0, 0.0),
        (0.0, 8.0),
        (1e-6, 0.0),
        (8.0, 8.0),
        (1200.0, 0.0),
        (1200.0, 8.0),
        (1e9, 1e9),
    ];

    #[test]
    fn roots_rise_by_about_half_a_turn_and_none_is_missed() {
        for way in [Way::Round, Way::Upright] {
            for (outer, top) in FILMS {
                let top = if way == Way::Round { 0.0 } else { top };
                let modes = direction(way, false).modes(outer, top, f64::INFINITY, 60);
                assert_eq!(modes.len(), 60);
                for (n, pair) in modes.windows(2).enumerate() {
                    let apart = pair[1].root - pair[0].root;
                    assert!(
                        apart > 0.45 * PI && apart < 1.5 * PI,
                        "{way:?} {outer} {top} {n}: {apart}"
                    );
                }
                let last = modes[59].root / PI;
                assert!(last > 58.4 && last < 60.1, "{way:?} {outer} {top}: {last}");
            }
        }
    }

    #[test]
    fn functions_of_one_set_stand_square_and_add_up_to_one() {
        // Parseval: the squares of the integrals add up to the weight of food and glass.
        for way in [Way::Round, Way::Upright] {
            for glass in [false, true] {
                for (outer, top) in FILMS {
                    let top = if way == Way::Round { 0.0 } else { top };
                    let direction = direction(way, glass);
                    let modes = direction.modes(outer, top, f64::INFINITY, 400);
                    let sum: f64 = modes.iter().map(|mode| mode.whole * mode.whole).sum();
                    let weight = direction.weight();
                    assert!(
                        sum <= weight * (1.0 + 1e-9),
                        "{way:?} {glass} {outer} {top}: {sum} {weight}"
                    );
                    assert!(sum > weight * 0.997, "{way:?} {glass} {outer} {top}: {sum} {weight}");
                }
            }
        }
    }

    #[test]
    fn a_mirrored_set_is_not_taken_for_the_same() {
        // The films of base and top change places: the rates are the same, the functions are not.
        let direction = direction(Way::Upright, false);
        let one = direction.modes(1200.0, 1.0, f64::INFINITY, 200);
        let other = direction.modes(1.0, 1200.0, f64::INFINITY, 200);
        for mode in &one[..6] {
            let sum: f64 = other.iter().map(|o| mode.overlap(o).powi(2)).sum();
            assert!((sum - 1.0).abs() < 5e-3, "{sum}");
            let same: f64 = other.iter().map(|o| o.at_height(0.3) * mode.overlap(o)).sum();
            assert!(
                (same - mode.at_height(0.3)).abs() < 0.02,
                "{same} {}",
                mode.at_height(0.3)
            );
        }
        // Glass lies on one end only: nothing mirrors it, and the set told in itself is itself.
        let glass = direction_set(true);
        for (n, mode) in glass.iter().enumerate() {
            assert!((mode.overlap_at_one_rate(mode) - 1.0).abs() < 1e-9, "{n}");
        }
    }

    fn direction_set(glass: bool) -> Vec<Mode> {
        direction(Way::Upright, glass).modes(1200.0, 8.0, f64::INFINITY, 40)
    }

    #[test]
    fn a_set_told_in_another_keeps_its_length() {
        for way in [Way::Round, Way::Upright] {
            for glass in [false, true] {
                let direction = direction(way, glass);
                let top = if way == Way::Round { 0.0 } else { 8.0 };
                let hot = direction.modes(1200.0, top, f64::INFINITY, 6);
                for outer in [0.0, 8.0, 1_199.999_9, 1200.0, 1e9] {
                    let other = direction.modes(outer, 0.0, f64::INFINITY, 300);
                    for mode in &hot {
                        let sum: f64 = other.iter().map(|o| mode.overlap(o).powi(2)).sum();
                        assert!((sum - 1.0).abs() < 2e-3, "{way:?} {glass} {outer}: {sum}");
                    }
                }
            }
        }
    }
}
