//! Words above the rows: names of columns, their units, what they are.

use crate::layout::{Kind, kind};
use crate::number::Degrees;

/// A column's heading.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Heading {
    /// Without its unit; empty where there is none.
    pub name: String,
    /// Unit of temperature, where one is written.
    pub unit: Option<Degrees>,
    /// Another unit, as written.
    other_unit: Option<String>,
}

/// Words of a column of times.
const TIMES: [&str; 15] = [
    "time",
    "times",
    "elapsed",
    "date",
    "datetime",
    "timestamp",
    "duration",
    "zeit",
    "datum",
    "heure",
    "hora",
    "fecha",
    "tijd",
    "clock",
    "uhrzeit",
];
/// Words of a column that is no temperature, wherever they stand in its heading.
const OTHERS: [&str; 17] = [
    "battery",
    "batt",
    "volt",
    "volts",
    "voltage",
    "humidity",
    "rh",
    "hum",
    "pressure",
    "psi",
    "kpa",
    "mbar",
    "ph",
    "dew",
    "lethality",
    "f0",
    "alarm",
];
/// Words of a column that counts or marks its rows, where they are the whole heading.
const COUNTERS: [&str; 15] = [
    "index", "no", "nr", "num", "number", "row", "record", "sample", "id", "serial", "event", "marker", "status",
    "scan", "#",
];

/// Seconds in a unit of time.
fn seconds(word: &str) -> Option<f64> {
    match word {
        "ms" | "msec" | "millisecond" | "milliseconds" => Some(0.001),
        "s" | "sec" | "secs" | "second" | "seconds" | "sek" | "sekunden" => Some(1.0),
        "min" | "mins" | "minute" | "minutes" | "minuten" => Some(60.0),
        "h" | "hr" | "hrs" | "hour" | "hours" | "std" | "stunden" => Some(3600.0),
        "d" | "day" | "days" | "tage" => Some(86_400.0),
        _ => None,
    }
}

fn words(text: &str) -> impl Iterator<Item = String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric() && c != '#')
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect::<Vec<_>>()
        .into_iter()
}

impl Heading {
    fn parse(cell: &str) -> Self {
        let cell = cell.trim();
        for (open, close) in [('(', ')'), ('[', ']'), ('{', '}'), ('<', '>')] {
            let Some((before, rest)) = cell.split_once(open) else {
                continue;
            };
            let Some((inside, after)) = rest.rsplit_once(close) else {
                continue;
            };
            let name = format!("{} {}", before.trim(), after.trim()).trim().to_owned();
            if let Some(unit) = Degrees::parse(inside) {
                return Self {
                    name,
                    unit: Some(unit),
                    other_unit: None,
                };
            }
            if seconds(&inside.to_lowercase()).is_some()
                || matches!(inside, "V" | "mV" | "%" | "bar" | "mA" | "kPa" | "%RH")
            {
                return Self {
                    name,
                    unit: None,
                    other_unit: Some(inside.to_owned()),
                };
            }
        }
        if let Some(unit) = Degrees::parse(cell).filter(|_| cell.chars().count() > 1) {
            return Self {
                name: String::new(),
                unit: Some(unit),
                other_unit: None,
            };
        }
        let lower = cell.to_lowercase();
        let marks = [
            ("°c", Degrees::Celsius),
            ("º c", Degrees::Celsius),
            ("ºc", Degrees::Celsius),
            ("℃", Degrees::Celsius),
            ("deg c", Degrees::Celsius),
            ("degc", Degrees::Celsius),
            ("celsius", Degrees::Celsius),
            ("°f", Degrees::Fahrenheit),
            ("ºf", Degrees::Fahrenheit),
            ("℉", Degrees::Fahrenheit),
            ("deg f", Degrees::Fahrenheit),
            ("degf", Degrees::Fahrenheit),
            ("fahrenheit", Degrees::Fahrenheit),
        ];
        for (mark, unit) in marks {
            if let Some((before, after)) = lower.split_once(mark)
                && !after.starts_with(char::is_alphabetic)
            {
                // Lower case may have another length; the name is cut only where it has not.
                let name = cell
                    .get(..before.len())
                    .unwrap_or(before)
                    .trim_end_matches([',', ' ', '_', '-', '/']);
                return Self {
                    name: name.trim().to_owned(),
                    unit: Some(unit),
                    other_unit: None,
                };
            }
        }
        Self {
            name: cell.to_owned(),
            unit: None,
            other_unit: None,
        }
    }

    /// What the column is called.
    #[must_use]
    pub fn called(&self, column: usize) -> String {
        if self.name.is_empty() {
            format!("column {}", column + 1)
        } else {
            self.name.clone()
        }
    }

    /// Whether the column is a time by its heading.
    #[must_use]
    pub fn is_time(&self) -> bool {
        self.unit.is_none()
            && (words(&self.name)
                .any(|word| TIMES.contains(&word.as_str()) || seconds(&word).is_some_and(|_| word.len() > 1))
                || self
                    .other_unit
                    .as_ref()
                    .is_some_and(|unit| seconds(&unit.to_lowercase()).is_some())
                || matches!(self.name.as_str(), "t" | "s"))
    }

    /// Whether its times count from a start.
    #[must_use]
    pub fn is_elapsed(&self) -> bool {
        words(&self.name).any(|word| matches!(word.as_str(), "elapsed" | "duration"))
    }

    /// Seconds that one counts, where the heading says so.
    #[must_use]
    pub fn time_unit_s(&self) -> Option<f64> {
        let own = self.other_unit.as_ref().and_then(|unit| seconds(&unit.to_lowercase()));
        own.or_else(|| words(&self.name).find_map(|word| seconds(&word)))
    }

    /// Whether the column is something else than a temperature by its heading.
    #[must_use]
    pub fn is_no_temperature(&self) -> bool {
        self.unit.is_none()
            && (self.other_unit.is_some()
                || words(&self.name).any(|word| OTHERS.contains(&word.as_str()))
                || (!self.name.is_empty() && words(&self.name).all(|word| COUNTERS.contains(&word.as_str())))
                || words(&self.name).any(|word| TIMES.contains(&word.as_str())))
    }

    /// The unit that every one of these headings ends with as a single letter, such as `Temp_F`.
    ///
    /// One of `Probe A`, `Probe B`, `Probe C` is no unit.
    pub fn common_letter<'a>(headings: impl Iterator<Item = &'a Self>) -> Option<Degrees> {
        let mut common = None;
        for heading in headings.filter(|heading| heading.unit.is_none()) {
            let parts: Vec<String> = words(&heading.name).collect();
            let [first, .., last] = &parts[..] else { return None };
            let warm = first.starts_with("temp") || (first.starts_with('t') && first.len() <= 3);
            let unit = match last.as_str() {
                "c" if warm => Degrees::Celsius,
                "f" if warm => Degrees::Fahrenheit,
                _ => return None,
            };
            if common.is_some_and(|before| before != unit) {
                return None;
            }
            common = Some(unit);
        }
        common
    }

    /// The one unit of temperature that the lines above the rows state for all, if they state one.
    #[must_use]
    pub fn said_above(above: &[&[String]]) -> Option<Degrees> {
        let mut said = None;
        for row in above {
            let labelled = words(row.first().map_or("", String::as_str)).any(|word| word.starts_with("unit"));
            let mut filled = row.iter().filter(|cell| !cell.is_empty());
            let sentence = filled.next().filter(|_| filled.next().is_none());
            let units: Vec<Degrees> =
                if labelled || sentence.is_some_and(|cell| words(cell).any(|w| w.starts_with("unit"))) {
                    row.iter()
                        .map(|cell| cell.rsplit(':').next().unwrap_or(cell))
                        .filter_map(|cell| Degrees::parse(cell).or_else(|| Self::parse(cell).unit))
                        .collect()
                } else {
                    // "Temperatures in °C" says it; "alarm above 200 °F" and another column's unit do not.
                    let said = sentence.filter(|cell| !cell.contains(|c: char| c.is_ascii_digit()));
                    said.and_then(|cell| Self::parse(cell).unit).into_iter().collect()
                };
            for unit in units {
                if said.is_some_and(|before| before != unit) {
                    return None;
                }
                said = Some(unit);
            }
        }
        said
    }
}

/// Headings of the columns from the rows above the first readings.
#[must_use]
pub fn headings(above: &[&[String]], columns: usize) -> Vec<Heading> {
    // The block of rows as wide as the readings, just above them.
    let block: Vec<&&[String]> = above.iter().rev().take_while(|row| row.len() == columns).collect();
    let of_units = |row: &[String]| {
        let filled: Vec<&String> = row.iter().filter(|cell| !cell.is_empty()).collect();
        let unit = |cell: &String| {
            let bare = cell.trim_matches(|c| "()[]{} ".contains(c));
            Degrees::parse(bare).is_some()
                || seconds(&bare.to_lowercase()).is_some()
                || bare.contains(':')
                || bare.contains("yy")
        };
        !filled.is_empty() && filled.into_iter().all(unit)
    };
    let units = block.iter().find(|row| of_units(row));
    let names = block
        .iter()
        .find(|row| !of_units(row) && row.iter().any(|cell| kind(cell.as_bytes()) == Kind::Text));
    (0..columns)
        .map(|column| {
            let mut heading = names
                .and_then(|row| row.get(column))
                .map_or_else(Heading::default, |cell| Heading::parse(cell));
            if let Some(cell) = units.and_then(|row| row.get(column)).filter(|cell| !cell.is_empty()) {
                let bare = cell.trim_matches(|c| "()[]{} ".contains(c));
                match Degrees::parse(bare) {
                    Some(unit) => heading.unit = heading.unit.or(Some(unit)),
                    None if seconds(&bare.to_lowercase()).is_some() => heading.other_unit = Some(bare.to_owned()),
                    None => {}
                }
            }
            heading
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_read_off_headings_and_single_letters_only_where_they_mean_one() {
        for (cell, name, unit) in [
            ("Probe 1 (°C)", "Probe 1", Some(Degrees::Celsius)),
            ("Bath [F]", "Bath", Some(Degrees::Fahrenheit)),
            ("Temperature, °C", "Temperature", Some(Degrees::Celsius)),
            ("Temp °F", "Temp", Some(Degrees::Fahrenheit)),
            ("Celsius", "", Some(Degrees::Celsius)),
            ("Probe C", "Probe C", None),
            ("Centre (jar 3)", "Centre (jar 3)", None),
        ] {
            let heading = Heading::parse(cell);
            assert_eq!((heading.name.as_str(), heading.unit), (name, unit), "{cell}");
        }
        let common = |cells: &[&str]| {
            let all: Vec<Heading> = cells.iter().map(|cell| Heading::parse(cell)).collect();
            Heading::common_letter(all.iter())
        };
        assert_eq!(common(&["Temp_F", "Temp 2 F"]), Some(Degrees::Fahrenheit));
        assert_eq!(common(&["Temp A", "Temp B", "Temp C"]), None);
        assert_eq!(common(&["Probe C"]), None);
    }

    #[test]
    fn a_line_above_the_table_labels_all_columns_only_where_it_says_so() {
        for (line, unit) in [
            (&["Unit: °F"][..], Some(Degrees::Fahrenheit)),
            (&["Temperature unit", "C"], Some(Degrees::Celsius)),
            (&["Temperature unit: F"], Some(Degrees::Fahrenheit)),
            (&["Temperatures in °C"], Some(Degrees::Celsius)),
            (&["Alarm above 200 °F"], None),
            (&["Time", "Bath (°C)", "Centre"], None),
        ] {
            let row: Vec<String> = line.iter().map(|&cell| cell.to_owned()).collect();
            assert_eq!(Heading::said_above(&[&row]), unit, "{line:?}");
        }
    }

    #[test]
    fn a_column_of_times_is_known_by_its_words() {
        for (cell, unit) in [
            ("Time (min)", Some(60.0)),
            ("Elapsed [s]", Some(1.0)),
            ("Seconds", Some(1.0)),
            ("t", None),
            ("Time", None),
        ] {
            let heading = Heading::parse(cell);
            assert!(heading.is_time(), "{cell}");
            assert_eq!(heading.time_unit_s(), unit, "{cell}");
        }
        for cell in ["Jar no 3", "Sample 1", "Centre"] {
            assert!(!Heading::parse(cell).is_no_temperature(), "{cell}");
        }
        for cell in ["Record No.", "#", "Battery (V)", "Relative humidity", "Event"] {
            assert!(Heading::parse(cell).is_no_temperature(), "{cell}");
        }
        for cell in ["Temp", "T1", "Timer bath (°C)", "Bath min (°C)"] {
            assert!(!Heading::parse(cell).is_time(), "{cell}");
        }
    }
}
