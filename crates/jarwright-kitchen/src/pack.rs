//! A pack: pieces in the jar, covered with brine or syrup.

use jarwright_figure::{Equation, Graph, Id, Unit};

use crate::PlanError;
use crate::assay::{Steam, assay};
use crate::batching::{BATCH_LINE, BATCH_MULTIPLE, Batch, COOK, JARS_FILLED, KEPT_BACK, STAGE_MASS};
use crate::cooking::CookCase;
use crate::files::Part;
use crate::jar_fill::infallible;
use crate::mixture::{ASSAY, Mixture};
use crate::sizing::jars_of_batch;

/// Brine that a jar takes.
pub static BRINE_PER_JAR: Equation = Equation {
    key: "brine-per-jar",
    title: "Brine that a packed jar takes",
    text: "m_brine = (V_jar - m_pieces / rho_pieces) rho_brine",
    source: "mass_balance",
};

/// Temperature of a jar just packed.
pub static PACKED_TEMPERATURE: Equation = Equation {
    key: "packed-temperature",
    title: "Mean temperature of a jar just packed",
    text: "T = (m_p c_p T_p + m_b c_b T_b) / (m_p c_p + m_b c_b)",
    source: "heat_balance",
};

/// A line of a pack.
pub(crate) struct PackLine {
    pub(crate) one_g: Id,
    pub(crate) part: Option<Part>,
    pub(crate) per_jar: bool,
    pub(crate) sieved_out: f64,
}

/// Brine [g] that covers a jar's pieces; densities of pieces and brine [kg/m³].
pub(crate) fn brine_per_jar(
    graph: &mut Graph,
    jar_volume_ml: Id,
    pieces_per_jar: Id,
    (pieces, brine): (f64, f64),
) -> Id {
    infallible(graph.compute(
        "brine in a jar",
        Unit::Gram,
        &BRINE_PER_JAR,
        &[jar_volume_ml, pieces_per_jar],
        |x| Ok(((x[0] - 1000.0 * x[1] / pieces) * brine / 1000.0).max(0.0)),
    ))
}

/// What a pack is made from.
pub(crate) struct PackRecipe<'a> {
    pub(crate) formula: &'a str,
    pub(crate) mixture: &'a Mixture,
    pub(crate) lines: Vec<PackLine>,
    /// The brine alone, in its pot.
    pub(crate) case: CookCase,
    pub(crate) pieces_per_jar: Id,
    pub(crate) pieces_kg_m3: f64,
    pub(crate) brine_kg_m3: f64,
    pub(crate) pieces_c: f64,
    pub(crate) jar_volume_ml: Id,
    pub(crate) efficiency: Id,
    pub(crate) steam_u: Id,
    pub(crate) room_c: Id,
    pub(crate) film_mm: Id,
    /// What the jars of a batch are chosen from.
    pub(crate) counted_from: &'a [Id],
}

impl PackRecipe<'_> {
    /// Largest multiple of the brine the pot holds.
    pub(crate) fn most(&self, pot_l: f64, share: f64) -> Result<f64, PlanError> {
        let one_l = self
            .case
            .one_l()
            .map_err(|e| PlanError::physics("the volume of the brine", &e))?;
        Ok(pot_l * share / one_l)
    }

    fn sum(&self, graph: &Graph, part: Part) -> f64 {
        self.lines
            .iter()
            .filter(|l| l.part == Some(part) && !l.per_jar)
            .map(|l| graph.value(l.one_g))
            .sum()
    }

    /// Multiple of the brine that covers the pieces of `jars` in 95 cases of 100.
    pub(crate) fn multiple_for(&self, graph: &mut Graph, jars: f64) -> Result<f64, PlanError> {
        let brine = self.brine_per_jar(graph);
        let per_jar_g = graph.band(brine).1;
        let one_g = self.sum(graph, Part::Brine);
        let film_mm = graph.value(self.film_mm);
        let mut multiple = (jars * per_jar_g / one_g).max(1e-3);
        // What boils off and clings barely depends on the multiple: a few turns settle it.
        for _ in 0..8 {
            let cooked = self
                .case
                .cook(
                    multiple,
                    graph.value(self.efficiency),
                    graph.value(self.steam_u),
                    graph.value(self.room_c),
                )
                .map_err(|e| PlanError::cooking(self.formula, &e))?;
            let film = self
                .case
                .film_g(multiple * one_g / self.brine_kg_m3, film_mm, self.brine_kg_m3);
            multiple = (jars * per_jar_g + cooked.boiled_off_g + film) / one_g;
        }
        Ok(multiple)
    }

    fn brine_per_jar(&self, graph: &mut Graph) -> Id {
        let densities_kg_m3 = (self.pieces_kg_m3, self.brine_kg_m3);
        brine_per_jar(graph, self.jar_volume_ml, self.pieces_per_jar, densities_kg_m3)
    }

    /// The batch of `jars`.
    pub(crate) fn batch(&self, graph: &mut Graph, jars: usize) -> Result<Batch, PlanError> {
        let n = jars as f64;
        let multiple = self.multiple_for(graph, n)?;
        let brine_jar = self.brine_per_jar(graph);
        let jars_id = jars_of_batch(graph, self.formula, n, self.counted_from);
        let multiple_id = graph.decide(
            "multiple of the brine",
            Unit::One,
            &BATCH_MULTIPLE,
            &[jars_id, brine_jar, self.efficiency, self.film_mm],
            multiple,
        );
        let pieces_one_g = self.sum(graph, Part::Pieces);
        let mut masses_g = Vec::new();
        for line in &self.lines {
            let id = if line.per_jar {
                infallible(graph.compute(
                    "mass of the line",
                    Unit::Gram,
                    &BATCH_LINE,
                    &[jars_id, line.one_g],
                    |x| Ok(x[0] * x[1]),
                ))
            } else {
                match line.part {
                    Some(Part::Brine) => infallible(graph.compute(
                        "mass of the line",
                        Unit::Gram,
                        &BATCH_LINE,
                        &[multiple_id, line.one_g],
                        |x| Ok(x[0] * x[1]),
                    )),
                    // Pieces and their soak follow the jars.
                    Some(Part::Pieces | Part::Soak) | None => infallible(graph.compute(
                        "mass of the line",
                        Unit::Gram,
                        &BATCH_LINE,
                        &[jars_id, self.pieces_per_jar, line.one_g],
                        |x| Ok(x[0] * x[1] * x[2] / pieces_one_g),
                    )),
                }
            };
            masses_g.push(id);
        }
        let in_jar: Vec<usize> = (0..self.lines.len())
            .filter(|&i| self.lines[i].part != Some(Part::Soak))
            .collect();
        let packed: Vec<Id> = in_jar
            .iter()
            .map(|&i| {
                let line = &self.lines[i];
                if line.part == Some(Part::Brine) {
                    // What is in the jars is the brine of the jars, not what clings to the pot.
                    let share = graph.value(brine_jar) * n / (multiple * self.sum(graph, Part::Brine));
                    let keep = share * (1.0 - line.sieved_out);
                    infallible(
                        graph.compute("in the jars", Unit::Gram, &KEPT_BACK, &[masses_g[i]], |x| {
                            Ok(x[0] * keep)
                        }),
                    )
                } else {
                    masses_g[i]
                }
            })
            .collect();
        let potted: Vec<Id> = in_jar.iter().map(|&i| masses_g[i]).collect();
        let weighed_g = infallible(graph.compute("weighed", Unit::Gram, &ASSAY, &potted, |x| Ok(x.iter().sum())));
        let [cook_min, boiled_off_g, energy_kwh] = graph
            .solve_many(
                [
                    ("time to heat the brine", Unit::Minute),
                    ("boiled off", Unit::Gram),
                    ("heat of the brine", Unit::KilowattHour),
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
        let cooked_g = infallible(
            graph.compute("cooked", Unit::Gram, &STAGE_MASS, &[weighed_g, boiled_off_g], |x| {
                Ok(x[0] - x[1])
            }),
        );
        let filled_g = infallible(graph.compute("in the jars", Unit::Gram, &ASSAY, &packed, |x| Ok(x.iter().sum())));
        let kept_back_g =
            infallible(
                graph.compute("left in the pot", Unit::Gram, &KEPT_BACK, &[cooked_g, filled_g], |x| {
                    Ok((x[0] - x[1]).max(0.0))
                }),
            );
        let fill_g = infallible(graph.compute(
            "food in a jar by mass",
            Unit::Gram,
            &JARS_FILLED,
            &[filled_g, jars_id],
            |x| Ok(x[0] / x[1]),
        ));
        let fills = infallible(graph.compute(
            "jars the batch fills",
            Unit::Count,
            &JARS_FILLED,
            &[filled_g, fill_g],
            |x| Ok(x[0] / x[1]),
        ));
        let weighed = assay(graph, self.mixture, &potted, Steam::Nothing, self.room_c)?;
        let packed_c = self.packed_c(graph, brine_jar);
        let filled = assay(graph, self.mixture, &packed, Steam::Nothing, packed_c)?;
        let one_l = self
            .case
            .one_l()
            .map_err(|e| PlanError::physics("the volume of the brine", &e))?;
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
            residual_jars: 0.0,
            volume_l: multiple * one_l,
            cooked: filled.clone(),
            weighed,
            filled,
        })
    }

    /// Temperature of a jar just packed with boiling brine.
    pub(crate) fn packed_c(&self, graph: &mut Graph, brine_jar: Id) -> Id {
        let (pieces_c, brine_c) = (self.pieces_c, self.case.boils_c);
        infallible(graph.compute(
            "jar just packed",
            Unit::Celsius,
            &PACKED_TEMPERATURE,
            &[self.pieces_per_jar, brine_jar],
            |x| {
                // Pieces and brine are mostly water: their heat capacities differ by a few percent.
                Ok((x[0] * pieces_c + x[1] * brine_c) / (x[0] + x[1]))
            },
        ))
    }
}
