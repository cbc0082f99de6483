//! A case of the pot: one vessel, one food, one or several masses.

/// What the food in a pot is given by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PotFood {
    /// Shares of the mass [%]; they add up to 100.
    Shares(Shares),
    /// Measured properties.
    Measured {
        /// Conductivity [W/(m K)].
        conductivity_w_mk: f64,
        /// Density [kg/m³].
        density_kg_m3: f64,
        /// Heat capacity [J/(kg K)].
        heat_capacity_j_kgk: f64,
    },
}

/// Shares of a food's mass [%].
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Shares {
    /// Water.
    pub water_pct: f64,
    /// Sucrose.
    pub sucrose_pct: f64,
    /// Glucose and fructose.
    pub glucose_fructose_pct: f64,
    /// Fat.
    pub fat_pct: f64,
    /// Protein.
    pub protein_pct: f64,
    /// Starch.
    pub starch_pct: f64,
    /// Fibre.
    pub fibre_pct: f64,
    /// Salt.
    pub salt_pct: f64,
    /// Ash.
    pub ash_pct: f64,
}

impl Shares {
    /// Sum of the shares [%].
    #[must_use]
    pub fn sum_pct(&self) -> f64 {
        self.water_pct
            + self.sucrose_pct
            + self.glucose_fructose_pct
            + self.fat_pct
            + self.protein_pct
            + self.starch_pct
            + self.fibre_pct
            + self.salt_pct
            + self.ash_pct
    }
}

/// The vessel and what it stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VesselKind {
    /// A half-round bowl over simmering water.
    BowlOverSteam,
    /// A kettle with a steam jacket.
    SteamKettle,
    /// A straight pot on a gas ring.
    PotOnGas,
    /// A straight pot on an electric coil or smooth top.
    PotOnCoil,
    /// A straight pot on induction.
    PotOnInduction,
}

impl VesselKind {
    /// Every kind.
    pub const ALL: [Self; 5] = [
        Self::BowlOverSteam,
        Self::SteamKettle,
        Self::PotOnGas,
        Self::PotOnCoil,
        Self::PotOnInduction,
    ];

    /// The word written in a case.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::BowlOverSteam => "bowl over steam",
            Self::SteamKettle => "steam kettle",
            Self::PotOnGas => "pot on gas",
            Self::PotOnCoil => "pot on coil",
            Self::PotOnInduction => "pot on induction",
        }
    }
}

/// When the pot is done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PotStop {
    /// At a temperature [°C], held for minutes.
    At {
        /// Temperature [°C].
        c: f64,
        /// Held [min].
        hold_min: f64,
    },
    /// At a degree Brix.
    Brix(f64),
    /// After minutes at the boil.
    BoilMinutes(f64),
    /// After minutes on the heat.
    Minutes(f64),
}

/// What goes in on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotAddition {
    /// How much, in per cent of the mass the pot starts with.
    pub of_start_pct: f64,
    /// Its own temperature [°C].
    pub from_c: f64,
    /// Temperature of the pot when it goes in [°C].
    pub at_c: f64,
    /// What it is.
    pub shares: Shares,
}

/// A case of the pot.
#[derive(Debug, Clone, PartialEq)]
pub struct PotCase {
    /// Its name.
    pub name: String,
    /// Vessel and heat.
    pub vessel: VesselKind,
    /// Diameter [mm].
    pub diameter_mm: f64,
    /// Inner height [mm]: what the vessel holds.
    pub height_mm: Option<f64>,
    /// Thickness of its steel [mm].
    pub wall_mm: Option<f64>,
    /// Its mass [kg].
    pub pot_kg: Option<f64>,
    /// Rating of the hob or of the steam [W].
    pub power_w: Option<f64>,
    /// Share of the rating that reaches pot or steam.
    pub efficiency: Option<f64>,
    /// Pressure of a kettle's steam above the room's [kPa].
    pub steam_gauge_kpa: Option<f64>,
    /// Air in a bowl's steam [kg/kg].
    pub air_in_steam: Option<f64>,
    /// Whether a lid is on.
    pub lid: bool,
    /// Rounds of the spoon a minute; 0 where nobody stirs.
    pub stirs_per_min: Option<f64>,
    /// Time between two wipes of a scraper over one place of the wall [s]; 0 where nobody scrapes.
    pub wiped_every_s: Option<f64>,
    /// Viscosity of the untouched food in the warm pot [mPa s].
    pub viscosity_mpa_s: Option<f64>,
    /// Masses that the pot starts with [kg].
    pub mass_kg: Vec<f64>,
    /// Temperature of food and pot at the start [°C].
    pub start_c: f64,
    /// Temperature of the room [°C].
    pub room_c: Option<f64>,
    /// Relative humidity of the room [%].
    pub room_humidity_pct: Option<f64>,
    /// Height above sea level [m].
    pub altitude_m: Option<f64>,
    /// Pressure of the room as a barometer here reads it [hPa].
    pub pressure_hpa: Option<f64>,
    /// Whether there is egg in it to be watched.
    pub egg: bool,
    /// How far sugar lifts the setting of egg [K].
    pub sugar_shift_k: Option<f64>,
    /// pH, for the splitting of sucrose.
    pub ph: Option<f64>,
    /// Longest time a batch may take [min].
    pub at_most_minutes: Option<f64>,
    /// Emptying, wiping and filling between two potfuls [min].
    pub change_minutes: Option<f64>,
    /// The food.
    pub food: PotFood,
    /// When it is done.
    pub stop: PotStop,
    /// What goes in on the way.
    pub additions: Vec<PotAddition>,
}
