//! A jar, its food and what it goes through; and what comes of it. Two solvers read the same
//! case and give the same kind of answer; they share nothing else.
//!
//! Read next: `jar.rs` (cells) and `modes.rs` (eigenfunctions).

use jarwright_figure::OutOfRange;

use crate::HeatError;

/// The jar and how far it is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JarBody {
    /// Inner radius [m].
    pub inner_radius_m: f64,
    /// Height of the food [m].
    pub food_height_m: f64,
    /// Thickness of the side [m]; 0 where the films act on the food itself.
    pub wall_m: f64,
    /// Thickness of the base [m]; 0 where the film acts on the food itself.
    pub base_m: f64,
    /// Conductivity of the glass [W/(m K)].
    pub glass_k_w_mk: f64,
    /// Density of the glass [kg/m³].
    pub glass_density_kg_m3: f64,
    /// Heat capacity of the glass [J/(kg K)].
    pub glass_cp_j_kgk: f64,
}

/// What the food is to heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contents {
    /// Conductivity [W/(m K)].
    pub conductivity_w_mk: f64,
    /// Density [kg/m³].
    pub density_kg_m3: f64,
    /// Heat capacity [J/(kg K)].
    pub heat_capacity_j_kgk: f64,
}

impl Contents {
    /// Diffusivity [m²/s].
    #[must_use]
    pub fn diffusivity_m2_s(&self) -> f64 {
        self.conductivity_w_mk / (self.density_kg_m3 * self.heat_capacity_j_kgk)
    }
}

/// What is around the glass's side and base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Film {
    /// One coefficient that does not change [W/(m² K)].
    Fixed(f64),
    /// A coefficient for the side and one for the base, neither of which changes.
    Apart {
        /// On the side [W/(m² K)].
        side_w_m2k: f64,
        /// On the base [W/(m² K)].
        base_w_m2k: f64,
    },
    /// Still air and radiation, at the wall's own temperature.
    StillAir {
        /// Emissivity of the glass, 0 to 1.
        emissivity: f64,
    },
}

/// A stretch of time with one kind of surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    /// How long [s].
    pub duration_s: f64,
    /// Temperature around at its start [°C].
    pub ambient_start_c: f64,
    /// Temperature around at its end, reached in a straight line [°C].
    pub ambient_end_c: f64,
    /// Film on the glass's side and base.
    pub side: Film,
    /// Film on the food's top [W/(m² K)]; 0 insulates it.
    pub top_w_m2k: f64,
}

impl Phase {
    /// How fast the surroundings warm [K/s].
    #[must_use]
    pub fn slope_k_s(&self) -> f64 {
        (self.ambient_end_c - self.ambient_start_c) / self.duration_s
    }
}

/// One jar through one row of phases.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The jar.
    pub body: JarBody,
    /// Its food.
    pub contents: Contents,
    /// The food's temperature at the start, everywhere [°C].
    pub food_start_c: f64,
    /// The glass's temperature at the start, everywhere [°C].
    pub glass_start_c: f64,
    /// What it goes through, in order.
    pub phases: Vec<Phase>,
}

/// What a jar went through.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answer {
    /// Times from the start [s], rising.
    pub times_s: Vec<f64>,
    /// Temperature on the axis at half the food's height [°C].
    pub centre_c: Vec<f64>,
    /// Lowest temperature on the food's axis, its ends included [°C].
    pub coldest_c: Vec<f64>,
    /// Highest temperature on the food's axis, its ends included [°C].
    pub warmest_c: Vec<f64>,
    /// Mean temperature of the food by volume [°C].
    pub mean_c: Vec<f64>,
    /// Index of each phase's last time.
    pub phase_ends: Vec<usize>,
    /// Share of the heat exchanged that the solver lost [-].
    pub energy_error: f64,
}

impl Answer {
    /// Readings at chosen times, between those there are: centre and mean by the cubic that meets
    /// the two nearest with the slopes of their neighbours, and never across a phase's end.
    ///
    /// * `times_s`: rising, within the answer's; each phase's end is read too
    #[must_use]
    pub fn at(&self, times_s: &[f64]) -> Self {
        let mut read = Self {
            energy_error: self.energy_error,
            ..Self::default()
        };
        if let Some(first) = self.centre_c.first() {
            read.begin(*first);
        }
        let mut from = 0;
        for &end in &self.phase_ends {
            let span = &self.times_s[from..=end];
            let inside = |t: &&f64| span.first().is_some_and(|a| a < t) && span.last().is_some_and(|b| *t < b);
            let ends = span.last();
            for time_s in times_s.iter().filter(inside).chain(ends) {
                let i = (span.partition_point(|t| t < time_s)).clamp(1, span.len() - 1);
                let smooth = |list: &[f64]| between(span, &list[from..=end], i, *time_s);
                let centre_c = smooth(&self.centre_c);
                // Coldest and warmest bend sharply where their place moves: straight lines.
                let part = (time_s - span[i - 1]) / (span[i] - span[i - 1]);
                let straight = |list: &[f64]| list[from + i - 1] + part * (list[from + i] - list[from + i - 1]);
                read.times_s.push(*time_s);
                read.centre_c.push(centre_c);
                read.coldest_c.push(straight(&self.coldest_c).min(centre_c));
                read.warmest_c.push(straight(&self.warmest_c).max(centre_c));
                read.mean_c.push(smooth(&self.mean_c));
            }
            read.phase_ends.push(read.times_s.len() - 1);
            from = end;
        }
        read
    }

    /// The first reading: the food as it is filled, everywhere alike.
    pub(crate) fn begin(&mut self, food_c: f64) {
        self.times_s.push(0.0);
        for list in [
            &mut self.centre_c,
            &mut self.coldest_c,
            &mut self.warmest_c,
            &mut self.mean_c,
        ] {
            list.push(food_c);
        }
    }
}

/// A value between readings `i - 1` and `i`.
fn between(times_s: &[f64], values: &[f64], i: usize, time_s: f64) -> f64 {
    let width_s = times_s[i] - times_s[i - 1];
    let slope = |from: usize, to: usize| (values[to] - values[from]) / (times_s[to] - times_s[from]);
    // At a reading with one on each side, the parabola's slope through the three.
    let at = |j: usize| {
        if j == 0 || j + 1 == times_s.len() {
            return slope(i - 1, i);
        }
        let (before_s, after_s) = (times_s[j] - times_s[j - 1], times_s[j + 1] - times_s[j]);
        (slope(j - 1, j) * after_s + slope(j, j + 1) * before_s) / (before_s + after_s)
    };
    let part = (time_s - times_s[i - 1]) / width_s;
    let rest = 1.0 - part;
    let (low, high) = (values[i - 1], values[i]);
    let chord = high - low;
    let (first, last) = (at(i - 1) * width_s - chord, at(i) * width_s - chord);
    rest * low + part * high + part * rest * (rest * first - part * last)
}

/// Ranges of a case: least, greatest.
pub mod range {
    /// Inner radius [m].
    pub const RADIUS_M: (f64, f64) = (0.005, 0.15);
    /// Height of the food [m].
    pub const HEIGHT_M: (f64, f64) = (0.005, 0.4);
    /// Thickness of glass where there is any [m].
    pub const GLASS_M: (f64, f64) = (1e-4, 0.04);
    /// Conductivity [W/(m K)].
    pub const CONDUCTIVITY_W_MK: (f64, f64) = (0.05, 5.0);
    /// Density [kg/m³].
    pub const DENSITY_KG_M3: (f64, f64) = (100.0, 3000.0);
    /// Heat capacity [J/(kg K)].
    pub const HEAT_CAPACITY_J_KGK: (f64, f64) = (500.0, 6000.0);
    /// Any temperature [°C].
    pub const TEMPERATURE_C: (f64, f64) = (-60.0, 200.0);
    /// Any film [W/(m² K)]; the highest hold a face at its surroundings' temperature.
    pub const FILM_W_M2K: (f64, f64) = (0.0, 1e9);
    /// How long a phase takes [s]: up to five weeks.
    pub const DURATION_S: (f64, f64) = (1e-3, 3.0e6);
}

impl Case {
    /// Nothing outside the ranges of [`range`], and at least one phase.
    ///
    /// # Errors
    /// [`HeatError::OutOfRange`] with `source` as its key, [`HeatError::BadShape`] without phases.
    pub fn check(&self, source: &'static str) -> Result<(), HeatError> {
        let food = &self.contents;
        check_material(
            source,
            [food.conductivity_w_mk, food.density_kg_m3, food.heat_capacity_j_kgk],
        )?;
        check_course(
            source,
            &self.body,
            [self.food_start_c, self.glass_start_c],
            &self.phases,
        )
    }

    /// How many phases there are up to the last whose surroundings, at its end, are hotter than the
    /// food's middle was at its start: those that heat, with what lies between them.
    ///
    /// * `centre_at_start_c`: the middle at each phase's start [°C]
    #[must_use]
    pub fn phases_heating(&self, centre_at_start_c: &[f64]) -> usize {
        let heats = |(phase, c): (&Phase, &f64)| phase.ambient_end_c > *c;
        let last = self.phases.iter().zip(centre_at_start_c).rposition(heats);
        last.map_or(0, |index| index + 1)
    }

    /// How long all phases take together [s].
    #[must_use]
    pub fn duration_s(&self) -> f64 {
        self.phases.iter().map(|phase| phase.duration_s).sum()
    }
}

/// Conductivity, density and heat capacity within [`range`].
fn check_material(source: &'static str, [k, density, heat]: [f64; 3]) -> Result<(), HeatError> {
    let check = |what, got, (min, max): (f64, f64), unit| OutOfRange::check(what, got, min, max, unit, source);
    check("conductivity", k, range::CONDUCTIVITY_W_MK, "W/(m K)")?;
    check("density", density, range::DENSITY_KG_M3, "kg/m3")?;
    check("heat capacity", heat, range::HEAT_CAPACITY_J_KGK, "J/(kg K)")?;
    Ok(())
}

/// All of a case but its food: jar, temperatures at the start, phases.
pub(crate) fn check_course(
    source: &'static str,
    body: &JarBody,
    starts_c: [f64; 2],
    phases: &[Phase],
) -> Result<(), HeatError> {
    let check = |what, got, (min, max): (f64, f64), unit| OutOfRange::check(what, got, min, max, unit, source);
    check("inner radius of the jar", body.inner_radius_m, range::RADIUS_M, "m")?;
    check("height of the food", body.food_height_m, range::HEIGHT_M, "m")?;
    for (what, thick_m) in [
        ("thickness of the side", body.wall_m),
        ("thickness of the base", body.base_m),
    ] {
        if thick_m != 0.0 {
            check(what, thick_m, range::GLASS_M, "m")?;
        }
    }
    check_material(
        source,
        [body.glass_k_w_mk, body.glass_density_kg_m3, body.glass_cp_j_kgk],
    )?;
    for temperature in starts_c {
        check("temperature at the start", temperature, range::TEMPERATURE_C, "°C")?;
    }
    if phases.is_empty() {
        return Err(HeatError::BadShape {
            what: "phases",
            got: 0,
            needed: 1,
        });
    }
    for phase in phases {
        check("duration of a phase", phase.duration_s, range::DURATION_S, "s")?;
        check("temperature around", phase.ambient_start_c, range::TEMPERATURE_C, "°C")?;
        check("temperature around", phase.ambient_end_c, range::TEMPERATURE_C, "°C")?;
        check("film on the top", phase.top_w_m2k, range::FILM_W_M2K, "W/(m2 K)")?;
        match phase.side {
            Film::Fixed(h) => {
                check("film on the side", h, range::FILM_W_M2K, "W/(m2 K)")?;
            }
            Film::Apart { side_w_m2k, base_w_m2k } => {
                check("film on the side", side_w_m2k, range::FILM_W_M2K, "W/(m2 K)")?;
                check("film on the base", base_w_m2k, range::FILM_W_M2K, "W/(m2 K)")?;
            }
            Film::StillAir { emissivity } => {
                check("emissivity", emissivity, (0.0, 1.0), "1")?;
            }
        }
    }
    Ok(())
}
