//! A solution of named amounts in a kilogram of water: the bench on which the models are checked.
//!
//! Amounts are molal. What the models cannot tell is left out with its reason; the rest stands.

use std::collections::BTreeMap;

use jarwright_figure::{Basis, Equation, Figure, Graph, Id, Leaf, Mark, Spread, Unit};
use jarwright_matter::{self as matter, Acid, Food, Ion, MatterError};
use serde::Serialize;

use crate::PlanError;
use crate::files::nearest;

/// Share of a solution's mass.
pub static SHARE_OF_MASS: Equation = Equation {
    key: "share-of-mass",
    title: "Share of a solution's mass",
    text: "percent = 100 m M / (1 + sum m M), m in mol per kg of water, M in kg/mol",
    source: "arithmetic",
};

/// Charge of the named ions.
pub static NAMED_CHARGE: Equation = Equation {
    key: "charge-of-named-ions",
    title: "Charge of the named ions",
    text: "sum z m of the ions as they were named; what acids and water's own ions make up",
    source: "arithmetic",
};

/// What a word on the bench stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Part {
    Acid(Acid),
    Ion(Ion),
    Sucrose,
    Hexose,
    TwoRings,
    Ethanol,
    Salt,
    /// Ions of a salt, with carbonic acid where it is a carbonate.
    Ions(&'static [(Ion, f64)], f64),
}

/// Every word with what it stands for; the first of equals is the one shown.
const WORDS: [(&str, Part); 47] = [
    ("citric", Part::Acid(Acid::Citric)),
    ("malic", Part::Acid(Acid::Malic)),
    ("tartaric", Part::Acid(Acid::Tartaric)),
    ("acetic", Part::Acid(Acid::Acetic)),
    ("lactic", Part::Acid(Acid::Lactic)),
    ("ascorbic", Part::Acid(Acid::Ascorbic)),
    ("phosphoric", Part::Acid(Acid::Phosphoric)),
    ("carbonic", Part::Acid(Acid::Carbonic)),
    ("oxalic", Part::Acid(Acid::Oxalic)),
    ("succinic", Part::Acid(Acid::Succinic)),
    ("benzoic", Part::Acid(Acid::Benzoic)),
    ("sorbic", Part::Acid(Acid::Sorbic)),
    ("phthalic", Part::Acid(Acid::Phthalic)),
    ("boric", Part::Acid(Acid::Boric)),
    ("Na", Part::Ion(Ion::Sodium)),
    ("sodium", Part::Ion(Ion::Sodium)),
    ("K", Part::Ion(Ion::Potassium)),
    ("potassium", Part::Ion(Ion::Potassium)),
    ("NH4", Part::Ion(Ion::Ammonium)),
    ("ammonium", Part::Ion(Ion::Ammonium)),
    ("Mg", Part::Ion(Ion::Magnesium)),
    ("magnesium", Part::Ion(Ion::Magnesium)),
    ("Ca", Part::Ion(Ion::Calcium)),
    ("calcium", Part::Ion(Ion::Calcium)),
    ("Cl", Part::Ion(Ion::Chloride)),
    ("chloride", Part::Ion(Ion::Chloride)),
    ("NO3", Part::Ion(Ion::Nitrate)),
    ("nitrate", Part::Ion(Ion::Nitrate)),
    ("SO4", Part::Ion(Ion::Sulfate)),
    ("sulfate", Part::Ion(Ion::Sulfate)),
    ("sucrose", Part::Sucrose),
    ("glucose", Part::Hexose),
    ("fructose", Part::Hexose),
    ("maltose", Part::TwoRings),
    ("lactose", Part::TwoRings),
    ("ethanol", Part::Ethanol),
    ("salt", Part::Salt),
    ("NaCl", Part::Salt),
    ("KCl", Part::Ions(&[(Ion::Potassium, 1.0), (Ion::Chloride, 1.0)], 0.0)),
    ("CaCl2", Part::Ions(&[(Ion::Calcium, 1.0), (Ion::Chloride, 2.0)], 0.0)),
    ("MgCl2", Part::Ions(&[(Ion::Magnesium, 1.0), (Ion::Chloride, 2.0)], 0.0)),
    ("NH4Cl", Part::Ions(&[(Ion::Ammonium, 1.0), (Ion::Chloride, 1.0)], 0.0)),
    ("KNO3", Part::Ions(&[(Ion::Potassium, 1.0), (Ion::Nitrate, 1.0)], 0.0)),
    ("K2SO4", Part::Ions(&[(Ion::Potassium, 2.0), (Ion::Sulfate, 1.0)], 0.0)),
    ("NaHCO3", Part::Ions(&[(Ion::Sodium, 1.0)], 1.0)),
    ("Na2CO3", Part::Ions(&[(Ion::Sodium, 2.0)], 1.0)),
    ("K2CO3", Part::Ions(&[(Ion::Potassium, 2.0)], 1.0)),
];

/// Molar masses [kg/mol] (`iupac_atomic_weights`).
const TWO_RINGS_KG_MOL: f64 = 0.342_297;
const HEXOSE_KG_MOL: f64 = 0.180_156;
const ETHANOL_KG_MOL: f64 = 0.046_068;
const SALT_KG_MOL: f64 = 0.058_443;
/// Air pressure of the standard atmosphere at sea level [Pa] (`icao_7488`).
pub const STANDARD_PA: f64 = 101_325.0;

/// A word of the bench and its amount [mol/kg of water].
#[derive(Debug, Clone, PartialEq)]
pub struct Amount {
    word: &'static str,
    part: Part,
    molal: f64,
}

impl Amount {
    /// Adds `molal` of the part to a food of 1 kg of water.
    fn add_to(&self, food: &mut Food, molal: f64) {
        match self.part {
            Part::Acid(acid) => food.acid_mol[acid.index()] += molal,
            Part::Ion(ion) => food.minerals_mol.add(ion, molal),
            Part::Sucrose => food.sucrose_kg += molal * TWO_RINGS_KG_MOL,
            Part::Hexose => food.hexose_kg += molal * HEXOSE_KG_MOL,
            Part::TwoRings => food.other_sugar_kg += molal * TWO_RINGS_KG_MOL,
            Part::Ethanol => food.alcohol_kg += molal * ETHANOL_KG_MOL,
            Part::Salt => food.salt_kg += molal * SALT_KG_MOL,
            Part::Ions(ions, carbonic) => {
                for (ion, each) in ions {
                    food.minerals_mol.add(*ion, each * molal);
                }
                food.acid_mol[Acid::Carbonic.index()] += carbonic * molal;
            }
        }
    }
}

/// What is asked of the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// What is dissolved in a kilogram of water.
    pub amounts: Vec<Amount>,
    /// Temperature [°C], 0 to 100.
    pub at_c: f64,
    /// Pressure of the air [Pa], for the boiling point.
    pub pressure_pa: f64,
}

/// The words the bench knows, each once.
#[must_use]
pub fn words() -> Vec<&'static str> {
    WORDS.iter().map(|(word, _)| *word).collect()
}

/// Reads `citric=0.05`-like amounts, mol in a kilogram of water.
///
/// # Errors
/// [`PlanError::Asked`] for a word that is not known (with the nearest), an amount that is none,
/// or the same word twice.
pub fn read_amounts(asked: &[String]) -> Result<Vec<Amount>, PlanError> {
    let mut amounts: Vec<Amount> = Vec::new();
    for text in asked {
        let amount = read_amount(text)?;
        // Equal words, or another word for the same: salt and NaCl.
        let same = |other: &&Amount| other.word == amount.word || (other.part == amount.part && !mixes(amount.part));
        if let Some(other) = amounts.iter().find(same) {
            let twice = if other.word == amount.word {
                format!("\"{}\" stands there twice", amount.word)
            } else {
                format!("\"{}\" and \"{}\" are the same", other.word, amount.word)
            };
            return Err(PlanError::asked(twice, "add the amounts up and give one"));
        }
        amounts.push(amount);
    }
    Ok(amounts)
}

/// Different sugars that the models treat alike may stand side by side.
fn mixes(part: Part) -> bool {
    matches!(part, Part::Hexose | Part::TwoRings)
}

fn read_amount(text: &str) -> Result<Amount, PlanError> {
    let Some((word, number)) = text.split_once('=') else {
        return Err(PlanError::asked(
            format!("\"{text}\" is no amount"),
            "write WORD=MOL, such as citric=0.05: mol in a kilogram of water",
        ));
    };
    let met = word.trim();
    let Some(&(word, part)) = WORDS.iter().find(|(known, _)| known.eq_ignore_ascii_case(met)) else {
        let hint = nearest(met, WORDS.iter().map(|(known, _)| *known)).map_or_else(
            || format!("known are {}", words().join(", ")),
            |near| format!("did you mean \"{near}\"?"),
        );
        return Err(PlanError::asked(format!("nothing is known of \"{met}\""), hint));
    };
    let hint = "mol in a kilogram of water, 0 or more, with a point: 0.05";
    match number.trim().parse::<f64>() {
        Ok(molal) if molal.is_finite() && molal >= 0.0 => Ok(Amount { word, part, molal }),
        Ok(molal) => Err(PlanError::asked(format!("{word} of {molal} is no amount"), hint)),
        Err(_) => Err(PlanError::asked(
            format!("\"{}\" after {word}= is no number", number.trim()),
            hint,
        )),
    }
}

/// The bench's answer: figures, and for each that cannot be told the reason under its name with
/// `_unknown` behind it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Brine {
    /// Temperature [°C].
    pub at_c: Figure,
    /// Equilibrium pH at the temperature, as the model gives it.
    pub ph: Option<Figure>,
    /// The same with what the model itself may miss by as its band.
    pub ph_band: Option<Figure>,
    /// Base that brings 100 g to pH 8.1 at 25 °C, as citric acid.
    pub titratable_acidity: Option<Figure>,
    /// Water activity at 25 °C.
    pub water_activity: Option<Figure>,
    /// Ionic strength [mol/kg of water] at the temperature.
    pub ionic_strength: Option<Figure>,
    /// Boiling point [°C] under the pressure asked for.
    pub boils_at_c: Option<Figure>,
    /// Temperature [°C] at which ice first forms.
    pub freezes_at_c: Option<Figure>,
    /// Soluble solids [% by mass].
    pub brix: Option<Figure>,
    /// Density at the temperature.
    pub density_kg_m3: Option<Figure>,
    /// Heat capacity at the temperature.
    pub heat_capacity_j_kgk: Option<Figure>,
    /// Thermal conductivity at the temperature.
    pub conductivity_w_mk: Option<Figure>,
    /// Thermal diffusivity at the temperature.
    pub diffusivity_m2_s: Option<Figure>,
    /// Charge of the ions as named [mol/kg of water].
    pub named_charge: Figure,
    /// What each part is of the whole mass, by its name.
    pub composition: BTreeMap<String, Figure>,
    /// What holds the pH most, and its share of the buffering.
    pub dominates: Option<Figure>,
    /// Why a figure is missing, under its name and `_unknown`.
    #[serde(flatten)]
    pub unknown: BTreeMap<String, String>,
    /// What else should be known.
    pub notes: Vec<String>,
}

/// Greatest temperature [°C] at which the constants of acids were measured.
const CONSTANTS_TO_C: f64 = 77.0;
/// Charge [mol/kg] below which the named ions count as balanced.
const BALANCED: f64 = 1e-9;

/// Works out what a solution is.
///
/// # Errors
/// [`PlanError::Asked`] for a temperature outside 0 to 100 °C or below the freezing point, and
/// for more of a salt than dissolves.
pub fn brine(ask: &Ask) -> Result<Brine, PlanError> {
    if !(0.0..=100.0).contains(&ask.at_c) {
        return Err(PlanError::asked(
            format!("{} °C is outside 0 to 100 °C", ask.at_c),
            "the constants of acids hold there; below 0 °C a solution may be frozen",
        ));
    }
    let food = food(&ask.amounts, ask.amounts.iter().map(|amount| amount.molal));
    matter::salts_dissolve(&food).map_err(|error| {
        PlanError::asked(
            format!("more salt than dissolves: {error}"),
            "give less of it: a crust on the bottom is no brine",
        )
    })?;
    if let Ok(freezes_c) = matter::food_freezes_c(&food)
        && ask.at_c < freezes_c - 1e-9
    {
        return Err(PlanError::asked(
            format!("at {} °C it is frozen: it freezes at {freezes_c:.2} °C", ask.at_c),
            "ask for a warmer temperature",
        ));
    }
    Ok(Bench::new(ask).answer(ask, &food))
}

fn food(amounts: &[Amount], molal: impl IntoIterator<Item = f64>) -> Food {
    let mut food = Food {
        water_kg: 1.0,
        ..Food::default()
    };
    for (amount, molal) in amounts.iter().zip(molal) {
        amount.add_to(&mut food, molal);
    }
    food
}

/// The graph of one question.
struct Bench<'a> {
    graph: Graph,
    amounts: &'a [Amount],
    leaves: Vec<Id>,
    at_c: Id,
    pressure: Id,
    unknown: BTreeMap<String, String>,
}

impl<'a> Bench<'a> {
    fn new(ask: &'a Ask) -> Self {
        let mut graph = Graph::new();
        let leaves = ask
            .amounts
            .iter()
            .map(|amount| {
                let key = format!("brine:{}", amount.word);
                graph.entered(
                    &key,
                    amount.word,
                    Unit::MolePerKilogram,
                    amount.molal,
                    "the command line",
                )
            })
            .collect();
        let at_c = graph.entered("brine:at_c", "temperature", Unit::Celsius, ask.at_c, "the command line");
        let by = if (ask.pressure_pa - STANDARD_PA).abs() < 0.5 {
            "the standard atmosphere at sea level, unless told"
        } else {
            "the command line"
        };
        let pressure = graph.entered("brine:pressure", "air pressure", Unit::Pascal, ask.pressure_pa, by);
        Self {
            graph,
            amounts: &ask.amounts,
            leaves,
            at_c,
            pressure,
            unknown: BTreeMap::new(),
        }
    }

    /// A figure of the solution, with the temperature or pressure as last input; its reason is
    /// kept where it cannot be told.
    fn figure(
        &mut self,
        key: &str,
        (name, unit): (&str, Unit),
        equation: &'static Equation,
        with: Option<Id>,
        f: impl Fn(&Food, f64) -> Result<f64, MatterError>,
    ) -> Option<Figure> {
        let id = self.quantity(name, unit, equation, with, f);
        self.kept(key, id)
    }

    fn quantity(
        &mut self,
        name: &str,
        unit: Unit,
        equation: &'static Equation,
        with: Option<Id>,
        f: impl Fn(&Food, f64) -> Result<f64, MatterError>,
    ) -> Result<Id, MatterError> {
        let mut inputs = self.leaves.clone();
        inputs.extend(with);
        let amounts = self.amounts;
        self.graph.compute(name, unit, equation, &inputs, |x| {
            let food = food(amounts, x.iter().copied());
            f(&food, x.last().copied().unwrap_or(f64::NAN))
        })
    }

    fn kept(&mut self, key: &str, id: Result<Id, MatterError>) -> Option<Figure> {
        match id {
            Ok(id) => Some(self.graph.figure(id)),
            Err(error) => {
                self.unknown.insert(format!("{key}_unknown"), error.to_string());
                None
            }
        }
    }

    fn answer(mut self, ask: &Ask, food: &Food) -> Brine {
        let (at_c, pressure) = (Some(self.at_c), Some(self.pressure));
        let ph = self.quantity("equilibrium pH", Unit::Ph, &matter::PH, at_c, matter::ph);
        let ionic = matter::ionic_strength(food, ask.at_c);
        let band = match (&ph, &ionic) {
            (Ok(ph), Ok(ionic)) => Ok(self.with_miss(*ph, matter::ph_miss(*ionic))),
            (Err(error), _) | (_, Err(error)) => Err(error.clone()),
        };
        let ph_band = self.kept("ph", band);
        if let Err(error) = &ph {
            self.unknown.insert("ph_band_unknown".into(), error.to_string());
        }
        let ph = ph_band.clone();
        let titratable_acidity = self.figure(
            "titratable_acidity",
            ("titratable acidity as citric acid", Unit::Percent),
            &matter::TITRATABLE_ACIDITY,
            None,
            |food, _| food.titratable_acidity_pct_citric(),
        );
        let water_activity = self.figure(
            "water_activity",
            ("water activity at 25 °C", Unit::WaterActivity),
            &matter::WATER_ACTIVITY,
            None,
            |food, _| matter::water_activity(food),
        );
        let ionic_strength = self.figure(
            "ionic_strength",
            ("ionic strength", Unit::MolePerKilogram),
            &matter::PH,
            at_c,
            matter::ionic_strength,
        );
        let boils_at_c = self.figure(
            "boils_at_c",
            ("boiling point", Unit::Celsius),
            &matter::FOOD_BOILS,
            pressure,
            |food, pressure_pa| {
                matter::no_alcohol_to_boil(food)?;
                matter::food_boils_c(food, pressure_pa)
            },
        );
        let freezes_at_c = self.figure(
            "freezes_at_c",
            ("freezing point", Unit::Celsius),
            &matter::FREEZES,
            None,
            |food, _| matter::food_freezes_c(food),
        );
        let brix = self.figure(
            "brix",
            ("soluble solids", Unit::Brix),
            &matter::BRIX,
            None,
            |food, _| Ok(food.brix()),
        );
        let thermal = |take: fn(matter::Thermal) -> f64| move |food: &Food, c: f64| matter::thermal(food, c).map(take);
        let density_kg_m3 = self.figure(
            "density_kg_m3",
            ("density", Unit::KilogramPerCubicMetre),
            &matter::THERMAL,
            at_c,
            thermal(|t| t.density_kg_m3),
        );
        let heat_capacity_j_kgk = self.figure(
            "heat_capacity_j_kgk",
            ("heat capacity", Unit::JoulePerKilogramKelvin),
            &matter::THERMAL,
            at_c,
            thermal(|t| t.heat_capacity_j_kgk),
        );
        let conductivity_w_mk = self.figure(
            "conductivity_w_mk",
            ("thermal conductivity", Unit::WattPerMetreKelvin),
            &matter::CONDUCTIVITY,
            at_c,
            thermal(|t| t.conductivity_w_mk),
        );
        let diffusivity_m2_s = self.figure(
            "diffusivity_m2_s",
            ("thermal diffusivity", Unit::SquareMetrePerSecond),
            &matter::DIFFUSIVITY,
            at_c,
            thermal(|t| t.diffusivity_m2_s()),
        );
        let dominates = self.dominates(food, ask.at_c);
        let named_charge = self.named_charge(food);
        Brine {
            at_c: self.graph.figure(self.at_c),
            ph,
            ph_band,
            titratable_acidity,
            water_activity,
            ionic_strength,
            boils_at_c,
            freezes_at_c,
            brix,
            density_kg_m3,
            heat_capacity_j_kgk,
            conductivity_w_mk,
            diffusivity_m2_s,
            notes: notes(food, ask.at_c, named_charge.value),
            named_charge,
            composition: self.composition(),
            dominates,
            unknown: self.unknown,
        }
    }

    /// pH with the model's own miss added.
    fn with_miss(&mut self, ph: Id, half_width: f64) -> Id {
        let miss = self.graph.leaf(Leaf {
            key: "brine:ph-miss".into(),
            name: "what the pH of a solution of known acids and salts may be off by".into(),
            unit: Unit::Ph,
            value: 0.0,
            spread: Spread::Percentiles {
                low: -half_width,
                high: half_width,
            },
            basis: Basis::Published {
                source: "davies_1962".into(),
                place: "0.02 as the standards of pH agree with the model, more above 0.1 mol/kg of ions".into(),
                mark: Mark::Computed,
            },
        });
        self.graph
            .compute(
                "equilibrium pH with the model's own miss",
                Unit::Ph,
                &matter::PH,
                &[ph, miss],
                |x| Ok::<_, std::convert::Infallible>(x[0] + x[1]),
            )
            .unwrap_or(ph)
    }

    fn dominates(&mut self, food: &Food, at_c: f64) -> Option<Figure> {
        let held = matter::buffering(food, at_c);
        let first = held.map(|held| held.first().map_or("water's own ions", |(name, _)| name));
        let id = first.and_then(|name| {
            let at = self.at_c;
            self.quantity(name, Unit::Percent, &matter::BUFFERING, Some(at), |food, c| {
                let held = matter::buffering(food, c)?;
                let all: f64 = held.iter().map(|(_, beta)| beta).sum();
                let mine = held
                    .iter()
                    .find(|(other, _)| *other == name)
                    .map_or(0.0, |(_, beta)| *beta);
                Ok(100.0 * mine / all)
            })
        });
        self.kept("dominates", id)
    }

    fn named_charge(&mut self, food: &Food) -> Figure {
        let charge = food.minerals_mol.charge_mol();
        let id = self.graph.decide(
            "charge of the named ions",
            Unit::MolePerKilogram,
            &NAMED_CHARGE,
            &self.leaves,
            charge,
        );
        self.graph.figure(id)
    }

    fn composition(&mut self) -> BTreeMap<String, Figure> {
        let amounts = self.amounts;
        let share = |which: Option<usize>| {
            move |whole: &Food, _: f64| {
                let part = which.map_or(whole.water_kg, |which| {
                    let mut alone = Food::default();
                    amounts[which].add_to(&mut alone, amounts[which].molal);
                    alone.mass_kg()
                });
                Ok::<_, MatterError>(100.0 * part / whole.mass_kg())
            }
        };
        let mut figures = BTreeMap::new();
        for which in std::iter::once(None).chain((0..amounts.len()).map(Some)) {
            let name = which.map_or("water", |which| amounts[which].word);
            let id = self.quantity(name, Unit::Percent, &SHARE_OF_MASS, None, share(which));
            figures.extend(id.ok().map(|id| (name.to_owned(), self.graph.figure(id))));
        }
        figures
    }
}

/// What a person should know beside the figures.
fn notes(food: &Food, at_c: f64, named_charge: f64) -> Vec<String> {
    let mut notes = Vec::new();
    let dissolved = 100.0 * food.sucrose_kg / (food.sucrose_kg + food.water_kg);
    if let Ok(most) = matter::sucrose_solubility_pct(at_c)
        && dissolved > most
    {
        notes.push(format!(
            "more sucrose than dissolves at this temperature: {dissolved:.1} % of it and water, and {most:.1} % is saturated; the \
             figures are of a syrup that may grain"
        ));
    }
    if named_charge.abs() > BALANCED {
        let (more, make_up) = if named_charge > 0.0 {
            ("cations", "the acids' anions and hydroxyl ions")
        } else {
            ("anions", "hydrogen ions")
        };
        notes.push(format!(
            "the named ions carry {:.4} mol/kg more charge as {more}; {make_up} make up for it",
            named_charge.abs()
        ));
    }
    let minerals = &food.minerals_mol;
    if minerals.calcium + minerals.magnesium > 0.0 && food.acid_kg() > 0.0 {
        notes.push("calcium and magnesium are taken as free: citrate, malate, phosphate or carbonate that they bind lowers the true pH".into());
    }
    if at_c > CONSTANTS_TO_C {
        notes.push(format!(
            "the acids' constants were measured up to {CONSTANTS_TO_C:.0} °C: above that the pH is extrapolated"
        ));
    }
    if food.salt_kg + minerals.mass_kg() > 0.0 {
        notes.push(
            "density and heat capacity count salts as ash: at 10 % of salt the density comes out 1.2 % low".into(),
        );
    }
    if food.alcohol_kg > 0.0 {
        notes.push(
            "alcohol counts as ideal, and the boiling point leaves its own vapour out: the true one is lower".into(),
        );
    }
    notes.push("a computed pH explains and never releases: only a measured one does".into());
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask(asked: &[&str], at_c: f64) -> Result<Brine, PlanError> {
        let asked: Vec<String> = asked.iter().map(|text| (*text).to_owned()).collect();
        brine(&Ask {
            amounts: read_amounts(&asked)?,
            at_c,
            pressure_pa: STANDARD_PA,
        })
    }

    #[test]
    fn the_citrate_standard_lies_in_its_band() -> Result<(), PlanError> {
        let brine = ask(&["citric=0.05", "K=0.05"], 25.0)?;
        // Staples and Bates 1969: 3.776.
        assert!(brine.ph_band.is_some_and(|ph| ph.low < 3.776 && 3.776 < ph.high));
        assert!(brine.unknown.is_empty());
        assert_eq!(brine.dominates.map(|d| d.name).as_deref(), Some("citric acid"));
        Ok(())
    }

    #[test]
    fn shares_of_the_mass_make_the_whole() -> Result<(), PlanError> {
        let brine = ask(
            &["sucrose=1", "NaCl=0.5", "citric=0.1", "CaCl2=0.2", "ethanol=0.3"],
            40.0,
        )?;
        let sum: f64 = brine.composition.values().map(|part| part.value).sum();
        assert!((sum - 100.0).abs() < 1e-9);
        Ok(())
    }

    #[test]
    fn what_cannot_be_told_leaves_the_rest_standing() -> Result<(), PlanError> {
        let brine = ask(&["NaCl=4"], 25.0)?;
        assert!(brine.ph.is_none() && brine.ionic_strength.is_none());
        assert!(brine.unknown.contains_key("ph_unknown"));
        assert!(brine.water_activity.is_some() && brine.freezes_at_c.is_some());
        Ok(())
    }

    #[test]
    fn bad_amounts_are_told_apart() {
        for (asked, said) in [
            (vec!["citrc=1"], "citric"),
            (vec!["citric"], "WORD=MOL"),
            (vec!["citric="], "no number"),
            (vec!["citric=-1"], "no amount"),
            (vec!["citric=nan"], "no amount"),
            (vec!["citric=1", "Citric=2"], "twice"),
            (vec!["salt=1", "NaCl=2"], "the same"),
            (vec!["NaCl=7"], "dissolves"),
        ] {
            let error = ask(&asked, 25.0).err().map(|e| e.to_string()).unwrap_or_default();
            assert!(error.contains(said), "{asked:?}: {error}");
        }
        for at_c in [-1.0, 100.5, f64::NAN] {
            assert!(ask(&["citric=0.1"], at_c).is_err());
        }
    }

    #[test]
    fn every_word_is_read_and_weighs_something() {
        for word in words() {
            let amounts = read_amounts(&[format!("{word}=0.01")]);
            assert!(amounts.is_ok_and(|a| food(&a, [0.01]).mass_kg() > 1.0), "{word}");
        }
    }
}
