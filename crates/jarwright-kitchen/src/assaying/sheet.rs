//! The answer of an assay: pure data, every number a [`Figure`].

use std::collections::BTreeMap;

use jarwright_figure::Figure;
use serde::Serialize;

/// Everything known of a formula at a stage. The field names are the keys of the JSON; a figure
/// that is absent has its reason under `unknown`.
#[derive(Debug, Clone, Serialize)]
pub struct AssaySheet {
    /// Formula's name.
    pub formula: String,
    /// Class of food.
    pub food: String,
    /// `weighed`, `cooked` or `filled`.
    pub stage: &'static str,
    /// Jar whose pieces and brine are assayed together; absent for a food of one mixture.
    pub jar: Option<String>,
    /// Mass of the formula once (of one jar in a pack) at this stage.
    pub mass: Figure,
    /// Water boiled off on the way to this stage.
    pub boiled_off: Option<Figure>,
    /// Temperature of density, conductivity, heat capacity and diffusivity.
    pub at: Figure,
    /// Height above sea level.
    pub altitude: Figure,
    /// Air pressure here.
    pub air_pressure: Figure,
    /// What water boils at here.
    pub water_boils: Figure,
    /// Equilibrium pH at 25 °C.
    pub ph: Option<Figure>,
    /// The pH again, named for its ends: 5 in 100 cases lie below `low`, 5 above `high`.
    pub ph_band: Option<Figure>,
    /// Titratable acidity as citric acid.
    pub titratable_acidity: Option<Figure>,
    /// Water activity at 25 °C.
    pub water_activity: Option<Figure>,
    /// Ionic strength.
    pub ionic_strength: Option<Figure>,
    /// Boiling point here.
    pub boils_at_c: Option<Figure>,
    /// Where ice first forms.
    pub freezes_at_c: Option<Figure>,
    /// Soluble solids of the whole food.
    pub brix: Option<Figure>,
    /// What a refractometer shows.
    pub refractometer_brix: Option<Figure>,
    /// Share of the water that is ice at `at`; absent above 0 °C.
    pub frozen_share_pct: Option<Figure>,
    /// Density.
    pub density_kg_m3: Option<Figure>,
    /// Heat capacity.
    pub heat_capacity_j_kgk: Option<Figure>,
    /// Thermal conductivity.
    pub conductivity_w_mk: Option<Figure>,
    /// Thermal diffusivity.
    pub diffusivity_m2_s: Option<Figure>,
    /// Parts of the food by mass, by their names.
    pub composition: BTreeMap<String, Figure>,
    /// What each band comes from, by the key of its figure, the greatest share first.
    pub dominates: BTreeMap<&'static str, Vec<Dominant>>,
    /// Why a figure is absent, by its key.
    pub unknown: BTreeMap<&'static str, String>,
    /// What a thermometer shows when the food is boiled down this far, here and today.
    pub boiled_down: Vec<BoiledDown>,
    /// °Brix of the food when it boils at the thermometer reading that was asked for.
    pub thermometer: Option<BoiledDown>,
    /// Reserved names held against the food in the chosen market; empty where none is known.
    pub names: Vec<NameTold>,
    /// What should be known.
    pub notes: Vec<String>,
    /// What could hurt someone.
    pub cautions: Vec<String>,
    /// Every quantity behind the figures, by handle.
    pub quantities: BTreeMap<String, Figure>,
}

/// A reserved name held against the food.
#[derive(Debug, Clone, Serialize)]
pub struct NameTold {
    /// The name.
    pub name: String,
    /// Whose law it is.
    pub market: &'static str,
    /// `met by what is counted`, `not met`, `too close to call` or `not known`.
    pub held: &'static str,
    /// What it asks.
    pub asks: Vec<AskTold>,
    /// What closes the name whatever the amounts, and what the law asks beside.
    pub beside: Vec<String>,
}

/// One thing a name asks.
#[derive(Debug, Clone, Serialize)]
pub struct AskTold {
    /// What is counted.
    pub what: &'static str,
    /// What the food has; absent where it could not be counted.
    pub has: Option<Figure>,
    /// The least that is asked.
    pub at_least: Option<Figure>,
    /// The most that is allowed.
    pub at_most: Option<Figure>,
    /// How far inside the nearest limit; below zero when outside.
    pub margin: Option<Figure>,
    /// The whole in one sentence, with what would mend it.
    pub said: String,
}

/// What a band comes from.
#[derive(Debug, Clone, Serialize)]
pub struct Dominant {
    /// The ingredient, or the model or assumption, as people name it.
    pub what: String,
    /// Share of the band's variance.
    pub share: Figure,
    /// Through which of its quantities.
    pub through: Vec<String>,
}

/// A degree of boiling down and its thermometer reading.
#[derive(Debug, Clone, Serialize)]
pub struct BoiledDown {
    /// Soluble solids of the whole food.
    pub brix: Figure,
    /// Thermometer reading in the boiling food.
    pub boils_at_c: Figure,
}

impl AssaySheet {
    /// Visits every figure the sheet shows.
    pub fn each_figure(&self, see: &mut impl FnMut(&Figure)) {
        for figure in [
            &self.mass,
            &self.at,
            &self.altitude,
            &self.air_pressure,
            &self.water_boils,
        ] {
            see(figure);
        }
        [
            &self.boiled_off,
            &self.ph,
            &self.ph_band,
            &self.titratable_acidity,
            &self.water_activity,
            &self.ionic_strength,
            &self.boils_at_c,
            &self.freezes_at_c,
            &self.brix,
            &self.refractometer_brix,
            &self.frozen_share_pct,
            &self.density_kg_m3,
            &self.heat_capacity_j_kgk,
            &self.conductivity_w_mk,
            &self.diffusivity_m2_s,
        ]
        .into_iter()
        .flatten()
        .for_each(&mut *see);
        self.composition.values().for_each(&mut *see);
        self.dominates.values().flatten().map(|d| &d.share).for_each(&mut *see);
        for ask in self.names.iter().flat_map(|name| &name.asks) {
            [&ask.has, &ask.at_least, &ask.at_most, &ask.margin]
                .into_iter()
                .flatten()
                .for_each(&mut *see);
        }
        for row in self.boiled_down.iter().chain(&self.thermometer) {
            see(&row.brix);
            see(&row.boils_at_c);
        }
    }

    pub(super) fn handles(&self) -> Vec<String> {
        let mut handles = Vec::new();
        self.each_figure(&mut |figure| handles.push(figure.id.clone()));
        handles
    }
}
