//! A cooling case as values.

use jarwright_heat::cooled_vessel::{Around, Side, Vessel};
use jarwright_heat::heat_content::Constants;
use jarwright_heat::jar::Contents;
use jarwright_matter::Food;

/// Shape of the vessel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShapeWord {
    /// An open pan.
    Pan,
    /// A box with a lid.
    Tub,
    /// A jar.
    Jar,
    /// A covered bowl.
    Bowl,
}

impl ShapeWord {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Pan, Self::Tub, Self::Jar, Self::Bowl];

    /// The word in a file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pan => "pan",
            Self::Tub => "tub",
            Self::Jar => "jar",
            Self::Bowl => "bowl",
        }
    }

    /// Whether it has a diameter, not a length and a width.
    #[must_use]
    pub const fn round(self) -> bool {
        matches!(self, Self::Jar | Self::Bowl)
    }

    /// Wall [m] and its conductivity [W/(m K)] unless told: metal counts for nothing, glass 3 mm, plastic
    /// 1.5 mm of 0.2 W/(m K) (common practice).
    #[must_use]
    pub const fn usual_wall(self) -> (f64, f64) {
        match self {
            Self::Pan | Self::Bowl => (0.0, 15.0),
            Self::Jar => (0.003, 1.05),
            Self::Tub => (0.0015, 0.2),
        }
    }
}

/// What the vessel stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlaceWord {
    /// A room without a draught.
    StillAir,
    /// A fan over it.
    Fan,
    /// A refrigerator or cold room.
    Refrigerator,
    /// A blast chiller.
    BlastChiller,
    /// A freezer.
    Freezer,
    /// Water with ice in it.
    IceBath,
    /// Cold water.
    Water,
}

impl PlaceWord {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::StillAir,
        Self::Fan,
        Self::Refrigerator,
        Self::BlastChiller,
        Self::Freezer,
        Self::IceBath,
        Self::Water,
    ];

    /// The word in a file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::StillAir => "still air",
            Self::Fan => "fan",
            Self::Refrigerator => "refrigerator",
            Self::BlastChiller => "blast chiller",
            Self::Freezer => "freezer",
            Self::IceBath => "ice bath",
            Self::Water => "water",
        }
    }

    /// Whether it is water.
    #[must_use]
    pub const fn wet(self) -> bool {
        matches!(self, Self::IceBath | Self::Water)
    }

    /// Whether its air's speed has to be told.
    #[must_use]
    pub const fn driven(self) -> bool {
        matches!(self, Self::Fan | Self::BlastChiller)
    }
}

/// What the food is.
#[derive(Debug, Clone, PartialEq)]
pub enum Matter {
    /// By its composition, one kilogram.
    Food(Box<Food>),
    /// By constants, without freezing.
    Constant(Contents),
    /// By constants on both sides of its freezing point.
    Freezing(Constants),
}

/// A stretch of time in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    /// Where.
    pub place: PlaceWord,
    /// What cools it there.
    pub around: Around,
    /// How long [s]; `None` for the last, until it is cold.
    pub for_s: Option<f64>,
}

/// Two readings of a cooling food.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Readings {
    /// First [°C].
    pub first_c: f64,
    /// Second [°C].
    pub second_c: f64,
    /// Time between them [s].
    pub between_s: f64,
    /// What it cools towards [°C].
    pub sink_c: f64,
}

/// A refrigerator's budget.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refrigerator {
    /// Cooling to spare [W].
    pub spare_w: f64,
    /// Setting [°C].
    pub set_c: f64,
    /// Warmest its air may get [°C].
    pub limit_c: f64,
    /// Heat capacity of air, shelves and lining [J/K].
    pub capacity_j_k: f64,
}

/// A jar's way through heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallCase {
    /// Wall [m].
    pub wall_m: f64,
    /// Height [m].
    pub high_m: f64,
    /// Diameter [m].
    pub across_m: f64,
    /// Empty jar as it is filled [°C].
    pub jar_c: f64,
    /// Food as it is filled [°C].
    pub food_c: f64,
    /// Filled jar and bath as it is loaded [°C].
    pub loads: Option<(f64, f64)>,
    /// Jar as it leaves the bath [°C].
    pub unloaded_c: Option<f64>,
    /// Water it goes into then [°C].
    pub into_water_c: Option<f64>,
    /// Empty jar as it leaves the oven [°C].
    pub oven_c: Option<f64>,
    /// Room [°C].
    pub room_c: f64,
    /// Difference that the maker's jars pass [K].
    pub pass_k: Option<f64>,
}

/// A cooling case.
#[derive(Debug, Clone, PartialEq)]
pub struct CoolingCase {
    /// Its name.
    pub name: String,
    /// Word of the shape.
    pub shape: ShapeWord,
    /// Vessel and sizes.
    pub vessel: Vessel,
    /// Its wall.
    pub side: Side,
    /// Whether the wall is the usual one.
    pub wall_assumed: bool,
    /// Food at the start [°C].
    pub start_c: f64,
    /// Whether the food is kept stirred.
    pub stirred: bool,
    /// Middle of the food at the end [°C], to be frozen.
    pub freeze_to_c: Option<f64>,
    /// The food.
    pub matter: Matter,
    /// Where it stands, in order.
    pub phases: Vec<Phase>,
    /// Two readings.
    pub readings: Option<Readings>,
    /// A refrigerator.
    pub refrigerator: Option<Refrigerator>,
    /// Glass.
    pub glass: Option<WallCase>,
}
