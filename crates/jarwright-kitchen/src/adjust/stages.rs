//! A formula's food at a stage, quickly and for any masses: what the search asks again and again.
//!
//! The plan's own assay stands at the end of a search; this is the same mixture without its
//! graph. What boils off is known from the plan of the formula as written: a share of the
//! potful, or down to the stop's °Brix.

use jarwright_figure::{Graph, SAMPLES};
use jarwright_matter::{self as matter, Food, MatterError};
use jarwright_reference::{Ingredient, Kind};

use super::Stage;
use super::target::{Asked, Relation, Target};
use crate::PlanError;
use crate::assumed::practice;
use crate::files::{GoesIn, Part};
use crate::lines::Line;
use crate::mixture::{Inputs, Mixture};

/// What leaves the pot while it cooks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Loss {
    /// Water: this share of what was weighed.
    Share(f64),
    /// Water, until what is on the heat has these soluble solids [°Brix].
    ToBrix(f64),
}

/// A jar of a pack: what of it is pieces and what is brine [g].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PackedJar {
    pub(super) pieces_g: f64,
    pub(super) brine_g: f64,
}

/// A value with its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reading {
    pub(super) value: f64,
    pub(super) low: f64,
    pub(super) high: f64,
}

/// One line as the stages see it.
#[derive(Debug, Clone)]
struct Member {
    part: Option<Part>,
    per_jar: bool,
    off_heat: bool,
    sieved_out: f64,
    fruit: bool,
}

/// The lines of a formula on their way from the scale to the jar.
#[derive(Debug)]
pub(super) struct Stages {
    mixture: Mixture,
    inputs: Inputs,
    in_food: Vec<usize>,
    members: Vec<Member>,
    /// Uncertain inputs: nominal, then one row a sample.
    nominal: Vec<f64>,
    samples: Vec<Vec<f64>>,
    ph_miss: Vec<f64>,
    aw_miss: Vec<f64>,
    pub(super) loss: Loss,
    pack: Option<PackedJar>,
    stage: Stage,
}

impl Stages {
    /// Of resolved lines; the order of masses is the lines' own.
    pub(super) fn new(
        graph: &mut Graph,
        lines: &[Line],
        loss: Loss,
        pack: Option<PackedJar>,
        stage: Stage,
    ) -> Result<Self, PlanError> {
        let in_food: Vec<usize> = (0..lines.len())
            .filter(|&i| lines[i].written.part != Some(Part::Soak))
            .collect();
        let rows: Vec<&Ingredient> = in_food.iter().map(|&i| &lines[i].ingredient).collect();
        let mixture = Mixture::new(graph, &rows)?;
        let masses: Vec<_> = in_food.iter().map(|&i| lines[i].one_g).collect();
        let inputs = mixture.inputs(&masses);
        let uncertain = &inputs.ids[in_food.len()..];
        let nominal = uncertain.iter().map(|&id| graph.value(id)).collect();
        let at = |id, s: usize| graph.samples(id).map_or(graph.value(id), |all| all[s]);
        let samples = (0..SAMPLES)
            .map(|s| uncertain.iter().map(|&id| at(id, s)).collect())
            .collect();
        let mut miss = |key, unit| -> Result<Vec<f64>, PlanError> {
            let id = practice(graph, key, unit)?;
            let value = graph.value(id);
            Ok(graph.samples(id).map_or(vec![value; SAMPLES], <[f64]>::to_vec))
        };
        let ph_miss = miss("ph_model_miss", jarwright_figure::Unit::Ph)?;
        let aw_miss = miss("aw_model_miss", jarwright_figure::Unit::WaterActivity)?;
        let members = lines
            .iter()
            .map(|line| Member {
                part: line.written.part,
                per_jar: line.written.per_jar,
                off_heat: line.written.goes_in == GoesIn::End,
                sieved_out: line.written.sieved_out,
                fruit: matches!(
                    line.ingredient.kind,
                    Kind::AcidFruit | Kind::LowAcidFruit | Kind::AcidJuice
                ),
            })
            .collect();
        Ok(Self {
            mixture,
            inputs,
            in_food,
            members,
            nominal,
            samples,
            ph_miss,
            aw_miss,
            loss,
            pack,
            stage,
        })
    }

    /// Why the pH cannot be told at these masses, if it cannot.
    pub(super) fn ph_unknown(&self, masses_g: &[f64]) -> Option<String> {
        let masses: Vec<f64> = self.in_food.iter().map(|&i| masses_g[i]).collect();
        self.mixture.ph_unknown(&masses)
    }

    /// Mass [g] of everything that ends in jars, as weighed.
    pub(super) fn weighed_g(&self, masses_g: &[f64]) -> f64 {
        self.in_food.iter().map(|&i| masses_g[i]).sum()
    }

    /// What one line brings at a mass [g].
    pub(super) fn alone(&self, line: usize, mass_g: f64) -> Food {
        let masses: Vec<f64> = self
            .in_food
            .iter()
            .map(|&i| if i == line { mass_g } else { 0.0 })
            .collect();
        self.mix(&masses, &self.nominal)
    }

    /// The lines' values of the targets at the nominal inputs; `None` where the physics refuses.
    pub(super) fn values(&self, targets: &[Target], masses_g: &[f64]) -> Option<Vec<f64>> {
        let boiled_kg = self.boiled_kg(masses_g).ok()?;
        let food = self.food(masses_g, &self.nominal, boiled_kg).ok()?;
        targets
            .iter()
            .map(|t| {
                self.value(t.asked, &food, masses_g, boiled_kg)
                    .ok()
                    .filter(|v| v.is_finite())
            })
            .collect()
    }

    /// The same with their bands.
    pub(super) fn readings(&self, targets: &[Target], masses_g: &[f64]) -> Option<Vec<Reading>> {
        let values = self.values(targets, masses_g)?;
        let banded = targets.iter().any(|t| t.asked.banded());
        let boiled_kg = self.boiled_kg(masses_g).ok()?;
        let foods: Vec<Option<Food>> = if banded {
            self.samples
                .iter()
                .map(|row| self.food(masses_g, row, boiled_kg).ok())
                .collect()
        } else {
            Vec::new()
        };
        Some(
            targets
                .iter()
                .zip(values)
                .map(|(target, value)| {
                    let of = |s: usize, food: &Food| -> Option<f64> {
                        match target.asked {
                            Asked::Ph => matter::ph(food, 25.0).ok().map(|ph| ph + self.ph_miss[s]),
                            Asked::WaterActivity => matter::water_activity(food)
                                .ok()
                                .map(|aw| (aw + self.aw_miss[s]).min(1.0)),
                            _ => None,
                        }
                    };
                    let mut all: Vec<f64> = foods
                        .iter()
                        .enumerate()
                        .filter_map(|(s, food)| of(s, food.as_ref()?))
                        .collect();
                    all.sort_by(f64::total_cmp);
                    match all.len().checked_sub(1) {
                        None => Reading {
                            value,
                            low: value,
                            high: value,
                        },
                        Some(last) => {
                            // The plan's own rank of a percentile.
                            let at = |p: f64| all[((last as f64) * p).round() as usize];
                            Reading {
                                value,
                                low: at(0.05).min(value),
                                high: at(0.95).max(value),
                            }
                        }
                    }
                })
                .collect(),
        )
    }

    /// Titratable acidity [% as citric acid] at the stage.
    pub(super) fn acidity(&self, masses_g: &[f64]) -> Option<f64> {
        let boiled_kg = self.boiled_kg(masses_g).ok()?;
        let food = self.food(masses_g, &self.nominal, boiled_kg).ok()?;
        food.titratable_acidity_pct_citric().ok()
    }

    /// Mass [g] of the food at the stage.
    pub(super) fn makes_g(&self, masses_g: &[f64]) -> Option<f64> {
        let target = Target {
            asked: Asked::Yield,
            relation: Relation::Equal,
            value: 0.0,
        };
        self.values(&[target], masses_g)?.first().copied()
    }

    /// The stop [°Brix] at which the food at the stage comes nearest to `brix`.
    pub(super) fn stop_for(&self, brix: f64, masses_g: &[f64]) -> Option<f64> {
        let at = |stop: f64| {
            let stages = self.boiled_to(stop, masses_g).ok()?;
            Some(stages.brix())
        };
        let (mut low, mut high) = (0.0, 100.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            // Below what is in the pot nothing boils off; above what its dry matter allows nothing is left.
            match at(middle) {
                Some(got) if got >= brix => high = middle,
                Some(_) => low = middle,
                None if middle < brix => low = middle,
                None => high = middle,
            }
        }
        at(high).filter(|got| (got - brix).abs() < 0.05).map(|_| high)
    }

    fn boiled_to(&self, stop: f64, masses_g: &[f64]) -> Result<Food, MatterError> {
        let kg = matter::water_to_remove_kg(&self.on_heat(masses_g), stop)?;
        self.food(masses_g, &self.nominal, kg)
    }

    fn on_heat(&self, masses_g: &[f64]) -> Food {
        let masses: Vec<f64> = self
            .in_food
            .iter()
            .map(|&i| if self.members[i].off_heat { 0.0 } else { masses_g[i] })
            .collect();
        self.mix(&masses, &self.nominal)
    }

    fn boiled_kg(&self, masses_g: &[f64]) -> Result<f64, MatterError> {
        if self.pack.is_some() || self.stage == Stage::Weighed {
            return Ok(0.0);
        }
        match self.loss {
            Loss::Share(share) => Ok(share * self.weighed_g(masses_g) / 1000.0),
            Loss::ToBrix(brix) => matter::water_to_remove_kg(&self.on_heat(masses_g), brix),
        }
    }

    fn mix(&self, in_food_g: &[f64], uncertain: &[f64]) -> Food {
        let mut row = in_food_g.to_vec();
        row.extend_from_slice(uncertain);
        self.mixture.food(&self.inputs, &row)
    }

    fn food(&self, masses_g: &[f64], uncertain: &[f64], boiled_kg: f64) -> Result<Food, MatterError> {
        let in_food: Vec<f64> = match self.pack {
            Some(jar) => self.packed(masses_g, jar),
            None => self
                .in_food
                .iter()
                .map(|&i| match self.stage {
                    Stage::Filled => masses_g[i] * (1.0 - self.members[i].sieved_out),
                    Stage::Weighed | Stage::Cooked => masses_g[i],
                })
                .collect(),
        };
        self.mix(&in_food, uncertain).minus_water(boiled_kg)
    }

    /// What is in one jar of a pack [g].
    fn packed(&self, masses_g: &[f64], jar: PackedJar) -> Vec<f64> {
        let sum = |part: Part| -> f64 {
            self.in_food
                .iter()
                .filter(|&&i| self.members[i].part == Some(part) && !self.members[i].per_jar)
                .map(|&i| masses_g[i])
                .sum()
        };
        let (pieces, brine) = (sum(Part::Pieces), sum(Part::Brine));
        self.in_food
            .iter()
            .map(|&i| {
                let member = &self.members[i];
                match member.part {
                    _ if member.per_jar => masses_g[i],
                    Some(Part::Brine) => jar.brine_g * masses_g[i] / brine * (1.0 - member.sieved_out),
                    _ => jar.pieces_g * masses_g[i] / pieces,
                }
            })
            .collect()
    }

    fn value(&self, asked: Asked, food: &Food, masses_g: &[f64], boiled_kg: f64) -> Result<f64, MatterError> {
        let percent = |kg: f64| 100.0 * kg / food.mass_kg();
        Ok(match asked {
            Asked::Brix => food.brix(),
            Asked::Ph => matter::ph(food, 25.0)?,
            Asked::WaterActivity => matter::water_activity(food)?,
            Asked::Acidity => food.titratable_acidity_pct_citric()?,
            Asked::Fat => percent(food.fat_kg),
            Asked::Sugar => percent(food.sugars_kg()),
            Asked::Fruit => {
                let fruit: f64 = (0..masses_g.len())
                    .filter(|&i| self.members[i].fruit)
                    .map(|i| masses_g[i])
                    .sum();
                100.0 * fruit / (self.weighed_g(masses_g) - 1000.0 * boiled_kg)
            }
            Asked::Yield if self.pack.is_some() => self.weighed_g(masses_g),
            Asked::Yield => 1000.0 * food.mass_kg(),
        })
    }
}
