//! One draw of a planned jar by its eigenfunctions, in tens of microseconds.
//!
//! They take fixed films only. Still air's film depends on the wall's temperature, so its heat flow
//! over the temperatures that the nominal jar's wall went through is taken as a straight line: a
//! film, and air somewhat warmer than the room's. Glass of a base thicker than they take for a wall
//! counts by its resistance. The tests hold both to the grid.

use jarwright_dose::lethal_rate;
use jarwright_heat::HeatError;
use jarwright_heat::case::{Film, Phase};
use jarwright_heat::films::still_air_w_m2k;
use jarwright_heat::jar::Grid;
use jarwright_heat::modes::{DosePoints, Modes};

use crate::cold_spot::{Course, GLASS_EMISSIVITY, Run, STRETCHES, Stretch};

/// How long after the bath the wall's temperatures still count for the line [s]: what comes later
/// is too cool to matter to a dose.
const WALL_COUNTS_S: f64 = 3600.0;
/// Glass that the eigenfunctions take for a wall, over the food's radius or height, with a little
/// to spare.
const THIN: f64 = 0.1249;

/// Still air's heat flow as a straight line of the wall's temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StraightAir {
    film_w_m2k: f64,
    around_c: f64,
    /// Film on the top towards `around_c`, over the film towards the room.
    top_share: f64,
}

impl StraightAir {
    /// The line nearest to the flow at these wall temperatures.
    ///
    /// * `walls`: seconds, and the wall's temperature during them [°C]
    fn through(walls: &[(f64, f64)], course: &Course) -> Result<Self, HeatError> {
        let height_m = course.body.food_height_m + course.body.base_m;
        let room_c = course.room_c;
        let mut sums = [0.0; 5];
        for &(seconds, wall_c) in walls {
            let flow = still_air_w_m2k(wall_c, room_c, height_m, GLASS_EMISSIVITY)? * (wall_c - room_c);
            for (sum, part) in sums.iter_mut().zip([1.0, wall_c, flow, wall_c * wall_c, wall_c * flow]) {
                *sum += seconds * part;
            }
        }
        let [all, wall, flow, square, product] = sums;
        let (wall_c, flow_w_m2) = (wall / all, flow / all);
        let spread = square / all - wall_c * wall_c;
        // A wall that hardly changed needs no slope.
        let film_w_m2k = if spread > 0.25 {
            (product / all - wall_c * flow_w_m2) / spread
        } else {
            still_air_w_m2k(wall_c, room_c, height_m, GLASS_EMISSIVITY)?
        };
        let around_c = wall_c - flow_w_m2 / film_w_m2k;
        let apart_k = wall_c - around_c;
        let top_share = if apart_k.abs() > 1.0 {
            (wall_c - room_c) / apart_k
        } else {
            1.0
        };
        Ok(Self {
            film_w_m2k,
            around_c,
            top_share,
        })
    }
}

/// What is needed to run a planned jar's draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Quick {
    pub(super) air: StraightAir,
    pub(super) target: (f64, f64),
}

/// One draw solved: what it went through, and its middle at any time.
pub(super) struct Solved {
    pub(super) at_boil_c: f64,
    pub(super) at_end_c: f64,
    /// Dose in each stretch [min], in the order of [`Stretch`].
    pub(super) doses_min: [f64; STRETCHES],
    modes: Modes,
    points: DosePoints,
    wait_s: f64,
    end_s: f64,
}

impl Solved {
    /// The middle so many minutes after the jar met the bath [°C].
    pub(super) fn centre_c(&self, minutes: f64) -> f64 {
        self.modes.centre_c(self.wait_s + 60.0 * minutes)
    }

    /// Hottest middle after the jar has left the bath [°C].
    pub(super) fn peak_c(&self) -> f64 {
        let (peak_s, hottest_c) = self.modes.peak(&self.points);
        if peak_s >= self.end_s {
            return self.at_end_c.max(hottest_c);
        }
        let both = self.points.times_s.iter().zip(&self.points.centre_c);
        let later = both.filter(|(t, _)| **t >= self.end_s);
        later.fold(self.at_end_c, |most, (_, c)| most.max(*c))
    }
}

impl Quick {
    /// The nominal jar on the plan's grid, and from its wall what the draws need.
    ///
    /// * `watch`: is shown each moment with what it is in
    pub(super) fn nominal(
        course: &Course,
        target: (f64, f64),
        watch: &mut dyn FnMut(Stretch, &jarwright_heat::jar::Moment<'_>),
    ) -> Result<(Run, Self), HeatError> {
        let stretches: Vec<Stretch> = course.phases().into_iter().map(|(stretch, _)| stretch).collect();
        let (mut walls, mut before_s, mut out_s) = (Vec::new(), 0.0, 0.0);
        let run = course.run(
            &Grid::plan(),
            target,
            Some(&mut |moment| {
                let stretch = stretches.get(moment.phase).copied().unwrap_or(Stretch::Cool);
                let counts = match stretch {
                    Stretch::Wait => true,
                    Stretch::Cool => moment.time_s - out_s < WALL_COUNTS_S,
                    Stretch::ComeUp | Stretch::Hold => {
                        out_s = moment.time_s;
                        false
                    }
                };
                if counts {
                    walls.push((moment.time_s - before_s, moment.wall_c));
                }
                before_s = moment.time_s;
                watch(stretch, moment);
            }),
        )?;
        let air = StraightAir::through(&walls, course)?;
        Ok((run, Self { air, target }))
    }

    /// One draw.
    pub(super) fn solve(&self, course: &Course) -> Result<Solved, HeatError> {
        let mut course = *course;
        let k_w_mk = course.body.glass_k_w_mk;
        let thin_m = THIN * course.body.inner_radius_m.min(course.body.food_height_m);
        let [side_beyond_m, base_beyond_m] =
            [course.body.wall_m, course.body.base_m].map(|thick_m| (thick_m - thin_m).max(0.0));
        course.body.wall_m -= side_beyond_m;
        course.body.base_m -= base_beyond_m;
        let through = |film: f64, beyond_m: f64| film / (1.0 + film * beyond_m / k_w_mk);
        let air = self.air;
        let (stretches, phases): (Vec<Stretch>, Vec<Phase>) = course
            .phases()
            .into_iter()
            .map(|(stretch, mut phase)| {
                let film_w_m2k = match phase.side {
                    Film::StillAir { .. } => {
                        phase.ambient_start_c = air.around_c;
                        phase.ambient_end_c = air.around_c;
                        phase.top_w_m2k *= air.top_share;
                        air.film_w_m2k
                    }
                    Film::Fixed(film) => film,
                    Film::Apart { side_w_m2k, .. } => side_w_m2k,
                };
                phase.side = Film::Apart {
                    side_w_m2k: through(film_w_m2k, side_beyond_m),
                    base_w_m2k: through(film_w_m2k, base_beyond_m),
                };
                (stretch, phase)
            })
            .unzip();
        let until_s = |last: Stretch| -> f64 {
            let both = stretches.iter().zip(&phases);
            both.filter(|(stretch, _)| **stretch <= last)
                .map(|(_, phase)| phase.duration_s)
                .sum()
        };
        let (wait_s, boil_s, end_s) = (until_s(Stretch::Wait), until_s(Stretch::ComeUp), until_s(Stretch::Hold));
        let modes = Modes::products_alone(&course.case(phases))?;
        let points = modes.dose_points();
        let (ref_c, z_k) = self.target;
        let mut doses_min = [0.0; STRETCHES];
        for (i, stretch) in stretches.iter().enumerate() {
            let from = points.phase_starts[i];
            let to = points.phase_starts.get(i + 1).copied().unwrap_or(points.times_s.len());
            for (&c, weight_s) in points.centre_c[from..to].iter().zip(&points.weights_s[from..to]) {
                doses_min[*stretch as usize] += weight_s * lethal_rate(c, ref_c, z_k) / 60.0;
            }
        }
        let at_end_c = modes.centre_c(end_s);
        Ok(Solved {
            at_boil_c: modes.centre_c(boil_s),
            at_end_c,
            doses_min,
            modes,
            points,
            wait_s,
            end_s,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarwright_heat::case::{Contents, JarBody};

    const TARGET: (f64, f64) = (71.1, 10.8);

    impl Solved {
        /// Dose before the jar leaves the bath [min].
        fn heating_min(&self) -> f64 {
            self.doses_min[..Stretch::Cool as usize].iter().sum()
        }

        /// Dose after it has left the bath [min].
        fn cooling_min(&self) -> f64 {
            self.doses_min[Stretch::Cool as usize]
        }
    }

    fn course() -> Course {
        Course {
            body: JarBody {
                inner_radius_m: 0.032,
                food_height_m: 0.066,
                wall_m: 0.003,
                base_m: 0.004,
                glass_k_w_mk: 1.05,
                glass_density_kg_m3: 2520.0,
                glass_cp_j_kgk: 820.0,
            },
            contents: Contents {
                conductivity_w_mk: 0.42,
                density_kg_m3: 1150.0,
                heat_capacity_j_kgk: 3000.0,
            },
            fill_c: 72.0,
            wait_min: 8.0,
            start_c: 82.2,
            come_up_min: 27.0,
            hold_min: 15.0,
            film_w_m2k: 1000.0,
            top_w_m2k: 10.0,
            room_c: 20.0,
            boils_c: 100.0,
        }
    }

    /// The jar as the plan has it, and away from it in each direction that a page moves.
    fn courses() -> Vec<Course> {
        let c = course();
        let mut all = vec![
            c,
            Course { fill_c: 60.0, ..c },
            Course { fill_c: 90.0, ..c },
            Course { wait_min: 0.0, ..c },
            Course { wait_min: 30.0, ..c },
            Course { start_c: 95.0, ..c },
            Course { start_c: 60.0, ..c },
            Course { come_up_min: 5.0, ..c },
            Course { hold_min: 0.0, ..c },
            Course { hold_min: 60.0, ..c },
            Course { film_w_m2k: 500.0, ..c },
            Course {
                film_w_m2k: 2000.0,
                ..c
            },
            Course { top_w_m2k: 5.0, ..c },
            Course { top_w_m2k: 20.0, ..c },
            Course { room_c: 27.0, ..c },
            Course { boils_c: 94.0, ..c },
        ];
        for (radius_mm, height_mm, wall_mm, base_mm) in [
            (29.5, 64.0, 2.3, 5.0),
            (31.5, 30.0, 3.5, 3.0),
            (37.0, 95.0, 2.5, 5.0),
            (45.0, 140.0, 3.0, 4.0),
        ] {
            let mut other = c;
            other.body.inner_radius_m = radius_mm / 1000.0;
            other.body.food_height_m = height_mm / 1000.0;
            other.body.wall_m = wall_mm / 1000.0;
            other.body.base_m = base_mm / 1000.0;
            all.push(other);
        }
        all
    }

    #[test]
    fn eigenfunctions_in_straight_air_agree_with_the_grid_in_still_air() -> Result<(), HeatError> {
        // Another solver, with the film at the wall's own temperature, on cells fine enough to be
        // within 0.02 K of exact series.
        for course in courses() {
            let (_, quick) = Quick::nominal(&course, TARGET, &mut |_, _| {})?;
            let one = quick.solve(&course)?;
            let case = course.case(course.phases().into_iter().map(|(_, phase)| phase).collect());
            let grid = course.run(&Grid::usual(&case), TARGET, None)?;
            for (got, asked) in [
                (one.at_boil_c, grid.at_boil),
                (one.at_end_c, grid.at_end),
                (one.peak_c(), grid.peak),
            ] {
                assert!((got - asked).abs() < 0.1, "{course:?}: {got} {asked}");
            }
            // A tenth of a kelvin is 2 % of a dose at z = 10.8 K. In a jar as low as its radius the
            // lid, base and rim count most, and the straight line and the thin wall together cost
            // its cooling up to 3 %, on the side of less.
            let low = course.body.food_height_m <= course.body.inner_radius_m;
            let (heating, cooling) = (
                one.heating_min() / grid.heating - 1.0,
                one.cooling_min() / grid.cooling - 1.0,
            );
            assert!(heating.abs() < 0.02, "{heating} {course:?}");
            assert!(
                cooling.abs() < 0.02 || (low && cooling < 0.0 && cooling > -0.03),
                "{cooling} {course:?}"
            );
        }
        Ok(())
    }

    #[test]
    fn a_draw_moves_the_dose_as_the_grid_does() -> Result<(), HeatError> {
        // What draws are used for: how far they are from the nominal jar. Moves of a draw's size.
        let c = course();
        let (_, quick) = Quick::nominal(&c, TARGET, &mut |_, _| {})?;
        let grid = Grid::usual(&c.case(c.phases().into_iter().map(|(_, phase)| phase).collect()));
        let (here, here_grid) = (quick.solve(&c)?, c.run(&grid, TARGET, None)?);
        let mut stiff = c;
        stiff.contents.conductivity_w_mk *= 1.1;
        let mut heavy = c;
        heavy.contents.heat_capacity_j_kgk *= 1.05;
        let mut wide = c;
        wide.body.inner_radius_m += 0.0005;
        for moved in [
            stiff,
            heavy,
            wide,
            Course { fill_c: 75.0, ..c },
            Course { wait_min: 6.0, ..c },
            Course { come_up_min: 29.0, ..c },
            Course { film_w_m2k: 800.0, ..c },
            Course { top_w_m2k: 7.0, ..c },
        ] {
            let (there, there_grid) = (quick.solve(&moved)?, moved.run(&grid, TARGET, None)?);
            let heating = there.heating_min() / here.heating_min() / (there_grid.heating / here_grid.heating);
            let cooling = there.cooling_min() / here.cooling_min() / (there_grid.cooling / here_grid.cooling);
            assert!((heating - 1.0).abs() < 0.005, "{heating} {moved:?}");
            assert!((cooling - 1.0).abs() < 0.005, "{cooling} {moved:?}");
        }
        Ok(())
    }
}
