//! The kitchen as read: where it stands, who works, what it cooks and cools with.

use jiff::civil::{Date, Time};

use super::Money;

pub use jiff::civil::Weekday;

/// A kitchen file.
#[derive(Debug, Clone, PartialEq)]
pub struct KitchenFile {
    /// Kitchen's name.
    pub name: String,
    /// Height above sea level [m].
    pub altitude_m: f64,
    /// Air pressure as the barometer reads here [Pa], not corrected to sea level.
    pub barometer_pa: Option<f64>,
    /// Hands on a working day.
    pub people: u32,
    /// Three-letter code of the currency of all money.
    pub currency: String,
    /// Cost of one hour of one person.
    pub labour_per_hour: Money,
    /// Cost of one kilowatt-hour of the burners' energy.
    pub energy_per_kwh: Money,
    /// Smallest step of the scale [g].
    pub scale_step_g: f64,
    /// Cold water from the tap [°C].
    pub water_supply_c: f64,
    /// Room [°C].
    pub room_c: f64,
    /// Working hours.
    pub hours: Hours,
    /// Working days; every day where the file says nothing.
    pub works: Vec<Weekday>,
    /// Burners; names are unique.
    pub burners: Vec<Burner>,
    /// Pots; names are unique, each names a burner that exists.
    pub pots: Vec<Pot>,
    /// Water baths; names are unique, each names a burner that exists.
    pub baths: Vec<Bath>,
    /// Jars bought.
    pub jars: Vec<JarStock>,
    /// Refrigerators.
    pub refrigerators: Vec<Cold>,
    /// Freezer.
    pub freezer: Option<Cold>,
    /// Oven.
    pub oven: Option<Oven>,
    /// Thermometers, pH meters, refractometers, scales.
    pub instruments: Vec<Instrument>,
    /// Own measured losses.
    pub losses: Losses,
    /// Own measured times.
    pub times: Times,
}

/// Working hours; `open` is before `close`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hours {
    /// Work starts.
    pub open: Time,
    /// Work ends.
    pub close: Time,
}

/// A burner.
#[derive(Debug, Clone, PartialEq)]
pub struct Burner {
    /// Name.
    pub name: String,
    /// What it burns.
    pub fuel: Fuel,
    /// Rated power [W].
    pub power_w: f64,
    /// Share of it that reaches the pot, 0 to 1, where the cook measured it.
    pub efficiency: Option<f64>,
}

/// What a burner heats with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fuel {
    /// Gas flame.
    Gas,
    /// Electric coil or hot plate.
    Coil,
    /// Induction.
    Induction,
}

/// A pot.
#[derive(Debug, Clone, PartialEq)]
pub struct Pot {
    /// Name.
    pub name: String,
    /// How it heats the food.
    pub kind: PotKind,
    /// Brimful volume [L].
    pub holds_l: f64,
    /// Inner diameter at the top [m].
    pub diameter_m: f64,
    /// Empty weight [kg].
    pub weight_kg: Option<f64>,
    /// Name of its burner.
    pub burner: String,
}

/// How a pot heats the food.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PotKind {
    /// Open pan on the burner.
    OpenPan,
    /// Bowl in the steam of boiling water.
    BowlOverSteam,
    /// Jacketed kettle.
    Kettle,
}

/// A boiling-water bath.
#[derive(Debug, Clone, PartialEq)]
pub struct Bath {
    /// Name.
    pub name: String,
    /// Water in it with the jars in [L].
    pub water_l: f64,
    /// Inner diameter [m].
    pub diameter_m: f64,
    /// Empty weight with its rack [kg].
    pub weight_kg: Option<f64>,
    /// Name of its burner.
    pub burner: String,
    /// Jars one load holds, by jar size; sizes are unique.
    pub jars: Vec<(String, u32)>,
}

impl Bath {
    /// Jars of a size that one load holds.
    #[must_use]
    pub fn holds(&self, size: &str) -> Option<u32> {
        self.jars
            .iter()
            .find(|(known, _)| known == size)
            .map(|&(_, count)| count)
    }
}

/// A size of jar the kitchen buys.
#[derive(Debug, Clone, PartialEq)]
pub struct JarStock {
    /// Size, as the reference table names it.
    pub size: String,
    /// Price of one jar.
    pub price: Money,
    /// Price of one lid.
    pub lid_price: Money,
    /// Jars on the shelf.
    pub on_hand: Option<u32>,
}

/// A refrigerator or freezer.
#[derive(Debug, Clone, PartialEq)]
pub struct Cold {
    /// Name.
    pub name: String,
    /// Temperature it keeps [°C].
    pub keeps_c: f64,
    /// Heat it can take away beside its own losses [W].
    pub power_w: Option<f64>,
    /// Free shelf area [m²].
    pub shelf_m2: Option<f64>,
}

/// An oven.
#[derive(Debug, Clone, PartialEq)]
pub struct Oven {
    /// Rated power [W].
    pub power_w: f64,
    /// Trays at once.
    pub trays: Option<u32>,
}

/// An instrument and how far it can be off.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// Name.
    pub name: String,
    /// What it measures.
    pub kind: InstrumentKind,
    /// Half width of its error in the unit of its kind: K, pH, °Brix or g.
    pub plus_minus: f64,
    /// The day it was last checked.
    pub checked: Option<Date>,
}

/// What an instrument measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InstrumentKind {
    /// Temperature; `plus_minus` in K.
    Thermometer,
    /// pH.
    PhMeter,
    /// Soluble solids; `plus_minus` in °Brix.
    Refractometer,
    /// Mass; `plus_minus` in g.
    Scale,
}

/// Own measured losses; what is absent is taken from common practice.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Losses {
    /// Share of jars that do not seal, 0 to 1.
    pub seal_failure: Option<f64>,
    /// What stays in a pot [g].
    pub pot_g: Option<f64>,
    /// What stays in a sieve [g].
    pub sieve_g: Option<f64>,
}

/// Own measured times; what is absent is taken from common practice.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Times {
    /// Jars one person fills, wipes and caps in a minute.
    pub fill_jars_per_min: Option<f64>,
    /// From one load's end to the next one in the bath [s].
    pub unload_reload_s: Option<f64>,
}

impl Fuel {
    /// Every fuel.
    pub const ALL: [Self; 3] = [Self::Gas, Self::Coil, Self::Induction];

    /// The word written in a file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gas => "gas",
            Self::Coil => "coil",
            Self::Induction => "induction",
        }
    }
}

impl PotKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::OpenPan, Self::BowlOverSteam, Self::Kettle];

    /// The word written in a file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::OpenPan => "open-pan",
            Self::BowlOverSteam => "bowl-over-steam",
            Self::Kettle => "kettle",
        }
    }
}

impl InstrumentKind {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Thermometer, Self::PhMeter, Self::Refractometer, Self::Scale];

    /// The word written in a file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Thermometer => "thermometer",
            Self::PhMeter => "ph-meter",
            Self::Refractometer => "refractometer",
            Self::Scale => "scale",
        }
    }
}

impl KitchenFile {
    /// The burner of a name.
    #[must_use]
    pub fn burner(&self, name: &str) -> Option<&Burner> {
        self.burners.iter().find(|burner| burner.name == name)
    }

    /// The most exact instrument of a kind.
    #[must_use]
    pub fn best(&self, kind: InstrumentKind) -> Option<&Instrument> {
        self.instruments
            .iter()
            .filter(|instrument| instrument.kind == kind)
            .min_by(|a, b| a.plus_minus.total_cmp(&b.plus_minus))
    }
}
