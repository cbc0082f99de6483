//! Published values that set no spread and no nominal value of the ingredient tables.

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Of {
    Brix,
    WaterActivity,
    AcidAsCitric,
    Ph,
}

/// One published value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measured {
    pub(super) of: Of,
    /// Its name in the source.
    pub(super) what: &'static str,
    pub(super) ingredient: &'static str,
    pub(super) value: f64,
    /// Half of the last printed digit.
    pub(super) rounding: f64,
}

fn rows(of: Of, rounding: f64, values: &[(&'static str, &'static str, f64)]) -> Vec<Measured> {
    values
        .iter()
        .map(|&(what, ingredient, value)| Measured {
            of,
            what,
            ingredient,
            value,
            rounding,
        })
        .collect()
}

/// Average Brix of juice as customs take it, 19 CFR 151.91.
const DUTY_BRIX: [(&str, &str, f64); 26] = [
    ("apple", "apples", 13.3),
    ("apricot", "apricots", 14.3),
    ("black currant", "blackcurrants", 15.0),
    ("blackberry", "blackberries", 10.0),
    ("blueberry", "blueberries", 14.1),
    ("boysenberry", "boysenberries", 10.0),
    ("cherry", "cherries, sour", 14.3),
    ("cranberry", "cranberries", 10.5),
    ("elderberry", "elderberries", 11.0),
    ("fig", "figs", 18.2),
    ("gooseberry", "gooseberries", 8.3),
    ("grape, vinifera", "grapes", 21.5),
    ("grapefruit", "grapefruit", 10.2),
    ("guava", "guavas", 7.7),
    ("lemon", "lemon juice, fresh", 8.9),
    ("lime", "lime juice, fresh", 10.0),
    ("mango", "mangoes", 17.0),
    ("orange", "orange juice, fresh", 11.8),
    ("peach", "peaches", 11.8),
    ("pear", "pears", 15.4),
    ("pineapple", "pineapple", 14.3),
    ("plum", "plums", 14.3),
    ("raspberry", "raspberries", 10.5),
    ("red currant", "redcurrants", 10.5),
    ("strawberry", "strawberries", 8.0),
    ("tangerine", "tangerines", 11.5),
];

/// Ripe fruit of cultivars, and hand-pressed citrus juice.
const MEASURED_BRIX: [(&str, &str, f64); 11] = [
    ("blueberry Nelson", "blueberries", 12.67),
    ("blueberry Toro", "blueberries", 10.30),
    ("blueberry Duke", "blueberries", 10.27),
    ("blueberry Bluejay", "blueberries", 12.87),
    ("blueberry Elliot", "blueberries", 11.53),
    ("blond Maltese orange", "orange juice, fresh", 12.66),
    ("blood orange", "orange juice, fresh", 11.20),
    ("pressed grapefruit", "grapefruit juice", 9.53),
    ("strawberry Albion", "strawberries", 8.9),
    ("strawberry Nyoho", "strawberries", 10.6),
    ("strawberry Portola", "strawberries", 5.8),
];

pub(super) fn brix() -> Vec<Measured> {
    [rows(Of::Brix, 0.05, &DUTY_BRIX), rows(Of::Brix, 0.05, &MEASURED_BRIX)].concat()
}

/// 21 CFR 101.30(h)(1); lemon and lime are set there by acid and stand in the acidity rows.
pub(super) const LAWFUL_BRIX: [(&str, f64); 33] = [
    ("apples", 11.5),
    ("apricots", 11.7),
    ("bananas", 22.0),
    ("blackberries", 10.0),
    ("blueberries", 10.0),
    ("boysenberries", 10.0),
    ("cherries, sweet", 20.0),
    ("cherries, sour", 14.0),
    ("crabapples", 15.4),
    ("cranberries", 7.5),
    ("blackcurrants", 11.0),
    ("redcurrants", 10.5),
    ("elderberries", 11.0),
    ("figs", 18.2),
    ("gooseberries", 8.3),
    ("grapes", 16.0),
    ("grapefruit juice", 10.0),
    ("guavas", 7.7),
    ("kiwifruit", 15.4),
    ("mangoes", 13.0),
    ("nectarines", 11.8),
    ("orange juice, fresh", 11.8),
    ("papaya", 11.5),
    ("passion fruit juice", 14.0),
    ("peaches", 10.5),
    ("pears", 12.0),
    ("pineapple", 12.8),
    ("plums", 14.3),
    ("pomegranate arils", 16.0),
    ("quinces", 13.3),
    ("raspberries", 9.2),
    ("rhubarb", 5.7),
    ("strawberries", 8.0),
];

/// Printed to 0.1 °F or °C.
const FREEZES_C: [(&str, &str, f64); 27] = [
    ("apples", "apples", -1.1),
    ("apricots", "apricots", -1.1),
    ("bananas", "bananas", -0.8),
    ("blackberries", "blackberries", -0.8),
    ("blueberries", "blueberries", -1.6),
    ("cherries, sour", "cherries, sour", -1.7),
    ("cherries, sweet", "cherries, sweet", -1.8),
    ("cranberries", "cranberries", -0.9),
    ("oranges", "oranges", -0.8),
    ("peaches", "peaches", -0.9),
    ("pears", "pears", -1.6),
    ("raspberries", "raspberries", -0.6),
    ("strawberries", "strawberries", -0.8),
    ("beans, snap", "green beans", -0.7),
    ("beets", "beetroot", -1.1),
    ("cabbage", "cabbage", -0.9),
    ("carrots", "carrots", -1.4),
    ("cauliflower", "cauliflower", -0.8),
    ("celeriac", "celeriac", -0.9),
    ("celery", "celery", -0.5),
    ("corn, sweet", "sweet corn", -0.6),
    ("cucumbers", "cucumbers", -0.5),
    ("eggplant", "aubergines", -0.8),
    ("garlic", "garlic", -0.8),
    ("leeks", "leeks", -0.7),
    ("mushrooms", "mushrooms", -0.9),
    ("broccoli", "broccoli", -0.6),
];

/// Melting heat of ice over the gas constant [K]: 6008 J/mol (from memory) over 8.314.
const MELTING_K: f64 = 722.6;
/// Freezing point of water [K].
const ICE_K: f64 = 273.15;

/// Water activity of a food at the temperature where its first ice forms.
fn activity_at_freezing(c: f64) -> f64 {
    (MELTING_K * (1.0 / ICE_K - 1.0 / (ICE_K + c))).exp()
}

pub(super) fn water_activity() -> Vec<Measured> {
    let mut all = rows(Of::WaterActivity, 0.0005, &FREEZES_C);
    for row in &mut all {
        row.value = activity_at_freezing(row.value);
    }
    all
}

/// Acid of ripe fruit and juice; grams a litre over 1.048 kg/L where the source has litres.
const ACID_AS_CITRIC: [(&str, &str, f64); 12] = [
    ("blueberry Nelson", "blueberries", 0.77),
    ("blueberry Toro", "blueberries", 0.64),
    ("blueberry Duke", "blueberries", 0.46),
    ("blueberry Bluejay", "blueberries", 0.66),
    ("blueberry Elliot", "blueberries", 1.07),
    ("blond Maltese orange", "orange juice, fresh", 1.349),
    ("blood orange", "orange juice, fresh", 0.827),
    ("pressed grapefruit", "grapefruit juice", 1.133),
    ("tomato Y-13", "tomatoes", 0.301),
    ("tomato Rutgers", "tomatoes", 0.384),
    ("tomato Stokesdale", "tomatoes", 0.421),
    ("tomato Petrillo", "tomatoes", 0.551),
];

pub(super) fn acidity() -> Vec<Measured> {
    rows(Of::AcidAsCitric, 0.005, &ACID_AS_CITRIC)
}

const PH: [(&str, &str, f64); 8] = [
    ("blueberry Nelson", "blueberries", 3.12),
    ("blueberry Toro", "blueberries", 3.07),
    ("blueberry Duke", "blueberries", 3.31),
    ("blueberry Bluejay", "blueberries", 3.26),
    ("blueberry Elliot", "blueberries", 2.85),
    ("blond Maltese orange", "orange juice, fresh", 3.34),
    ("blood orange", "orange juice, fresh", 3.47),
    ("pressed grapefruit", "grapefruit juice", 3.02),
];

pub(super) fn ph() -> Vec<Measured> {
    rows(Of::Ph, 0.005, &PH)
}
