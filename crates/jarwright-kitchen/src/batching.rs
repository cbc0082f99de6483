//! How big a batch is, in which pot, and what comes out of it.
//!
//! The plan's one fixed point: how much boils off and stays behind depends on the batch, and
//! the batch depends on how much is left. It is solved for the number of jars the batch must
//! fill in 95 cases of 100, not on average.

use jarwright_figure::{Equation, Graph, Id, Unit};

use crate::PlanError;
use crate::assay::{AssayIds, Steam, assay};
use crate::cooking::{CookCase, Cooked, Stop};
use crate::jar_fill::{self, infallible};
use crate::mixture::Mixture;
use crate::sizing::jars_of_batch;

/// Multiple of the formula that fills the jars of a batch.
pub static BATCH_MULTIPLE: Equation = Equation {
    key: "batch-multiple",
    title: "Multiple of the formula for one batch",
    text: "the m for which (m W - boiled off(m) - kept back(m)) / fill mass reaches the jars of the \
           batch in 95 of 100 cases; fixed point over the pot's heat balance",
    source: "mass_balance",
};

/// Line of a batch.
pub static BATCH_LINE: Equation = Equation {
    key: "batch-line",
    title: "Mass of a line in one batch",
    text: "m_line = multiple x mass in the formula",
    source: "mass_balance",
};

/// Mass before a stage less what is lost on the way.
pub static STAGE_MASS: Equation = Equation {
    key: "stage-mass",
    title: "Mass of the food at a stage",
    text: "m_after = m_before - lost",
    source: "mass_balance",
};

/// What stays behind.
pub static KEPT_BACK: Equation = Equation {
    key: "kept-back",
    title: "What sieve and pot keep",
    text: "m = sum(share x line sieved out) + m_sieve + film x wetted area x density",
    source: "mass_balance",
};

/// Jars a batch fills.
pub static JARS_FILLED: Equation = Equation {
    key: "jars-filled",
    title: "Jars that a batch fills",
    text: "n = mass left / mass that fills a jar",
    source: "mass_balance",
};

/// Cooking a batch.
pub static COOK: Equation = Equation {
    key: "cook-batch",
    title: "Time, vapour and energy of cooking one batch",
    text: "heat balance of the pot with its additions, stepped to the endpoint (pot-heats, pot-boils)",
    source: "incropera_heat_mass",
};

/// Steps of the fixed point.
const MOST_STEPS: usize = 40;

/// Jars of difference at which the fixed point has settled.
const SETTLED_JARS: f64 = 1e-4;

/// How much larger than a potful without loss a batch may be sought.
const MOST_GROWTH: f64 = 60.0;

/// Difference that is too large to plan on.
const UNSETTLED_JARS: f64 = 0.05;

/// What a batch is made from.
pub(crate) struct Recipe<'a> {
    pub(crate) formula: &'a str,
    pub(crate) mixture: &'a Mixture,
    /// Lines that go into the pot: mass in the formula [g], share that the sieve keeps.
    pub(crate) lines: Vec<(Id, f64)>,
    pub(crate) case: CookCase,
    pub(crate) pot_l: f64,
    pub(crate) pot_fill_share: f64,
    pub(crate) sieved: bool,
    /// Mass that fills a jar is volume times the finished food's density.
    pub(crate) jar_volume_ml: Id,
    pub(crate) fill_c: Id,
    pub(crate) efficiency: Id,
    pub(crate) steam_u: Id,
    pub(crate) room_c: Id,
    pub(crate) film_mm: Id,
    pub(crate) sieve_g: Id,
    pub(crate) own_pot_g: Option<Id>,
    /// The reading that stops the cook [°Brix], where a refractometer does.
    pub(crate) read_brix: Option<Id>,
    /// What the jars of a batch are chosen from.
    pub(crate) counted_from: &'a [Id],
}

/// A batch, solved.
#[derive(Debug, Clone)]
pub(crate) struct Batch {
    pub(crate) multiple: Id,
    pub(crate) masses_g: Vec<Id>,
    pub(crate) weighed_g: Id,
    pub(crate) cook_min: Id,
    pub(crate) boiled_off_g: Id,
    pub(crate) energy_kwh: Id,
    pub(crate) cooked_g: Id,
    pub(crate) kept_back_g: Id,
    pub(crate) filled_g: Id,
    pub(crate) fill_g: Id,
    pub(crate) fills: Id,
    pub(crate) residual_jars: f64,
    pub(crate) volume_l: f64,
    pub(crate) weighed: AssayIds,
    pub(crate) cooked: AssayIds,
    pub(crate) filled: AssayIds,
}

/// What stays behind, for one row of inputs.
struct Keeps {
    /// Of one multiple [g].
    sieved_out_g: f64,
    film_mm: f64,
    sieve_g: f64,
    /// What the cook found the pot to keep, in place of a film.
    own_pot_g: Option<f64>,
}

impl Recipe<'_> {
    fn one_g(&self, graph: &Graph) -> f64 {
        self.lines.iter().map(|&(id, _)| graph.value(id)).sum()
    }

    /// Largest multiple the pot holds.
    pub(crate) fn most(&self) -> Result<f64, PlanError> {
        Ok(self.pot_l * self.pot_fill_share / self.one_l()?)
    }

    fn one_l(&self) -> Result<f64, PlanError> {
        self.case
            .one_l()
            .map_err(|e| PlanError::physics("the volume of a potful", &e))
    }

    /// What sieve and pot keep of a batch [g].
    fn kept_back_g(&self, multiple: f64, keeps: &Keeps, left_g: f64, density_kg_m3: f64) -> f64 {
        let film_g = keeps
            .own_pot_g
            .unwrap_or_else(|| self.case.film_g(left_g / density_kg_m3, keeps.film_mm, density_kg_m3));
        multiple * keeps.sieved_out_g + if self.sieved { keeps.sieve_g } else { 0.0 } + film_g
    }

    /// Jars from a multiple, at the nominal values.
    fn jars(&self, graph: &Graph, multiple: f64) -> Result<f64, PlanError> {
        let at = |id: Id| graph.value(id);
        let physics = |e: jarwright_heat::HeatError| PlanError::cooking(self.formula, &e);
        let cooked = self
            .case
            .cook(multiple, at(self.efficiency), at(self.steam_u), at(self.room_c))
            .map_err(physics)?;
        let left_g = multiple * self.one_g(graph) - cooked.boiled_off_g;
        let food = self
            .case
            .all_in()
            .scaled(multiple)
            .minus_water(cooked.boiled_off_g / 1000.0)
            .map_err(|e| PlanError::physics(format!("what is left of {}", self.formula), &e))?;
        let density = jarwright_matter::thermal(&food, at(self.fill_c))
            .map_err(|e| PlanError::physics(format!("the density of {}", self.formula), &e))?
            .density_kg_m3;
        let sieved_out: f64 = self.lines.iter().map(|&(id, share)| at(id) * share).sum();
        let keeps = Keeps {
            sieved_out_g: sieved_out,
            film_mm: at(self.film_mm),
            sieve_g: at(self.sieve_g),
            own_pot_g: self.own_pot_g.map(at),
        };
        let kept = self.kept_back_g(multiple, &keeps, left_g, density);
        Ok((left_g - kept) / (at(self.jar_volume_ml) * density / 1000.0))
    }

    /// Multiple that fills `jars` at the nominal values, with what is left of the difference.
    pub(crate) fn multiple_for(&self, graph: &Graph, jars: f64) -> Result<(f64, f64), PlanError> {
        // From where nothing is lost, so that no far smaller potful is ever asked for.
        let mut multiple = jars * graph.value(self.jar_volume_ml) / 1000.0 / self.one_l()?;
        let least = multiple;
        let mut residual = f64::INFINITY;
        let (mut last, mut last_jars) = (0.0, 0.0);
        for _ in 0..MOST_STEPS {
            let got = match self.jars(graph, multiple) {
                Ok(got) => got,
                // Too small a potful boils dry or never gets hot: step towards a larger one.
                Err(error) => {
                    let next = if last > multiple {
                        f64::midpoint(last, multiple)
                    } else {
                        1.5 * multiple
                    };
                    if next > MOST_GROWTH * least || (last > 0.0 && (last - next).abs() < 1e-6 * last) {
                        return Err(self.boils_dry(error));
                    }
                    multiple = next;
                    continue;
                }
            };
            residual = got - jars;
            if residual.abs() < SETTLED_JARS {
                break;
            }
            // Secant step; losses are nearly linear in the batch, so it settles in a few.
            let slope = if (multiple - last).abs() > 1e-12 && last > 0.0 {
                (got - last_jars) / (multiple - last)
            } else {
                got.max(0.1) / multiple
            };
            (last, last_jars) = (multiple, got);
            let next = multiple - residual / slope;
            multiple = if next.is_finite() && next > 0.05 * multiple {
                next
            } else {
                multiple * 2.0
            };
        }
        if residual.abs() > UNSETTLED_JARS {
            return Err(PlanError::Physics {
                what: format!("the size of a batch of {}", self.formula),
                cause: format!("the fixed point is still {residual:.2} jars off after {MOST_STEPS} steps"),
            });
        }
        Ok((multiple, residual))
    }

    /// No size of batch can be cooked: a fault of the endpoint for this pot, not of the program.
    fn boils_dry(&self, error: PlanError) -> PlanError {
        match error {
            PlanError::Physics { what, cause } => PlanError::CannotMeet {
                reason: format!(
                    "{} cannot be cooked to its end on this burner: {what}: {cause}",
                    self.formula
                ),
                would: vec!["fewer minutes, a smaller burner setting, or an endpoint in °Brix".into()],
            },
            other => other,
        }
    }

    /// Jars at the nominal values of a whole pot.
    pub(crate) fn jars_of(&self, graph: &Graph, multiple: f64) -> Result<f64, PlanError> {
        self.jars(graph, multiple)
    }

    /// Time of `multiple` at the nominal values.
    pub(crate) fn cook(&self, graph: &Graph, multiple: f64) -> Result<Cooked, jarwright_heat::HeatError> {
        self.case.cook(
            multiple,
            graph.value(self.efficiency),
            graph.value(self.steam_u),
            graph.value(self.room_c),
        )
    }

    /// The batch of `jars`, with the margin that fills them in 95 cases of 100.
    pub(crate) fn batch(&self, graph: &mut Graph, jars: usize) -> Result<Batch, PlanError> {
        let wanted = jars as f64;
        let (first, _) = self.multiple_for(graph, wanted)?;
        let trial = self.solve(graph, first, wanted, 0.0)?;
        let low = graph.band(trial.fills).0;
        // What falls short in the worst twentieth is added; the band moves with it.
        let margin = if low > 0.0 {
            (graph.value(trial.fills) / low).max(1.0)
        } else {
            1.0
        };
        let (multiple, residual) = self.multiple_for(graph, wanted * margin)?;
        self.solve(graph, multiple, wanted, residual)
    }

    fn solve(&self, graph: &mut Graph, multiple: f64, jars: f64, residual_jars: f64) -> Result<Batch, PlanError> {
        let jars_id = jars_of_batch(graph, self.formula, jars, self.counted_from);
        let multiple_id = graph.decide(
            "multiple of the formula",
            Unit::One,
            &BATCH_MULTIPLE,
            &[jars_id, self.jar_volume_ml, self.efficiency, self.steam_u, self.film_mm],
            multiple,
        );
        let masses_g: Vec<Id> = self
            .lines
            .iter()
            .map(|&(one, _)| {
                infallible(
                    graph.compute("mass of the line", Unit::Gram, &BATCH_LINE, &[multiple_id, one], |x| {
                        Ok(x[0] * x[1])
                    }),
                )
            })
            .collect();
        let weighed_g = infallible(
            graph.compute("weighed", Unit::Gram, &crate::mixture::ASSAY, &masses_g, |x| {
                Ok(x.iter().sum())
            }),
        );
        let [cook_min, boiled_off_g, energy_kwh] = graph
            .solve_many(
                [
                    ("cooking time", Unit::Minute),
                    ("boiled off", Unit::Gram),
                    ("heat of the cook", Unit::KilowattHour),
                ],
                &COOK,
                &[multiple_id, self.efficiency, self.steam_u, self.room_c],
                |x| {
                    self.case
                        .cook(x[0], x[1], x[2], x[3])
                        .map(|c| [c.minutes, c.boiled_off_g, c.energy_kwh])
                },
            )
            .map_err(|e| PlanError::cooking(self.formula, &e))?;
        let cooked_g = minus(graph, "cooked", weighed_g, boiled_off_g);
        let room = self.room_c;
        let steam = self.read_brix.map_or(Steam::Grams(boiled_off_g), Steam::ToBrix);
        let weighed = assay(graph, self.mixture, &masses_g, Steam::Nothing, room)?;
        let cooked = assay(graph, self.mixture, &masses_g, steam, self.fill_c)?;
        let left: Vec<Id> = self
            .lines
            .iter()
            .zip(&masses_g)
            .map(|(&(_, share), &mass)| {
                if share <= 0.0 {
                    return mass;
                }
                infallible(graph.compute("left of the line", Unit::Gram, &KEPT_BACK, &[mass], |x| {
                    Ok(x[0] * (1.0 - share))
                }))
            })
            .collect();
        let filled = if left == masses_g {
            cooked.clone()
        } else {
            assay(graph, self.mixture, &left, steam, self.fill_c)?
        };
        let sieved_out: f64 = self.lines.iter().map(|&(id, share)| graph.value(id) * share).sum();
        let mut inputs = vec![multiple_id, self.film_mm, self.sieve_g, filled.density, cooked_g];
        inputs.extend(self.own_pot_g);
        let kept_back_g =
            infallible(
                graph.compute("kept back by sieve and pot", Unit::Gram, &KEPT_BACK, &inputs, |x| {
                    let keeps = Keeps {
                        sieved_out_g: sieved_out,
                        film_mm: x[1],
                        sieve_g: x[2],
                        own_pot_g: x.get(5).copied(),
                    };
                    Ok(self.kept_back_g(x[0], &keeps, x[4], x[3]))
                }),
            );
        let filled_g = minus(graph, "ready to fill", cooked_g, kept_back_g);
        let fill_g = jar_fill::fill_g(graph, self.jar_volume_ml, filled.density);
        let fills = infallible(graph.compute(
            "jars the batch fills",
            Unit::Count,
            &JARS_FILLED,
            &[filled_g, fill_g],
            |x| Ok(x[0] / x[1]),
        ));
        let volume_l = multiple
            * self
                .case
                .one_l()
                .map_err(|e| PlanError::physics("the volume of a potful", &e))?;
        Ok(Batch {
            multiple: multiple_id,
            masses_g,
            weighed_g,
            cook_min,
            boiled_off_g,
            energy_kwh,
            cooked_g,
            kept_back_g,
            filled_g,
            fill_g,
            fills,
            residual_jars,
            volume_l,
            weighed,
            cooked,
            filled,
        })
    }

    /// What a batch of `jars` at once would take here, in words.
    pub(crate) fn all_at_once(&self, graph: &Graph, jars: usize) -> String {
        let Ok((multiple, _)) = self.multiple_for(graph, jars as f64) else {
            return format!("{jars} jars in one potful cannot be cooked on this burner");
        };
        let holds = self.most().unwrap_or(0.0);
        let volume_l = multiple / holds * self.pot_l * self.pot_fill_share;
        let room = if multiple > holds {
            format!(
                "{volume_l:.1} L, and the pot takes {:.1} L of this food",
                self.pot_l * self.pot_fill_share
            )
        } else {
            format!("{volume_l:.1} L fits the pot")
        };
        match self.cook(graph, multiple) {
            Ok(cooked) => format!(
                "all {jars} jars in one potful would be {room}; it would cook {}",
                crate::words::duration(cooked.minutes)
            ),
            Err(_) => format!("all {jars} jars in one potful would be {room}; this burner never brings it there"),
        }
    }

    /// Whether the endpoint boils the food down.
    pub(crate) fn boils_down(&self) -> bool {
        matches!(self.case.stop, Stop::Brix(_) | Stop::Boiled(_))
    }
}

fn minus(graph: &mut Graph, name: &str, before: Id, lost: Id) -> Id {
    infallible(graph.compute(name, Unit::Gram, &STAGE_MASS, &[before, lost], |x| Ok(x[0] - x[1])))
}
