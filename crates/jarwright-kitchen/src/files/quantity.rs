//! Quantities with their unit in one string: `170 F`, `6 L`, `1/2 in`, `2.4 kW`, `15 min`.
//!
//! What each unit is worth: `ucum_2_2`. The ranges are common practice: what no kitchen has.

use super::number;
use super::problem::Fault;
use super::spell;

/// A unit by its words: the first is the one shown, each is `factor` base units.
struct UnitWords(&'static [&'static str], f64);

/// A kind of quantity that is a plain multiple of its base unit, with the range a kitchen has.
struct Measure {
    name: &'static str,
    units: &'static [UnitWords],
    /// Least and greatest value in the base unit.
    range: (f64, f64),
    /// The range in words.
    range_words: &'static str,
}

const LENGTH: &[UnitWords] = &[
    UnitWords(&["mm"], 0.001),
    UnitWords(&["cm"], 0.01),
    UnitWords(&["m", "metre", "meter", "metres", "meters"], 1.0),
    UnitWords(&["in", "inch", "inches"], 0.0254),
    UnitWords(&["ft", "foot", "feet"], 0.3048),
];

const VOLUME: &[UnitWords] = &[
    UnitWords(&["L", "l", "litre", "liter", "litres", "liters"], 1.0),
    UnitWords(&["ml", "mL"], 0.001),
    UnitWords(&["US qt"], 0.946_352_946),
    UnitWords(&["US gal"], 3.785_411_784),
];

const MASS: &[UnitWords] = &[
    UnitWords(&["g"], 1.0),
    UnitWords(&["kg"], 1000.0),
    UnitWords(&["mg"], 0.001),
    UnitWords(&["oz"], 28.349_523_125),
    UnitWords(&["lb", "lbs"], 453.592_37),
];

const TIME: &[UnitWords] = &[
    UnitWords(&["s", "sec"], 1.0),
    UnitWords(&["min", "minute", "minutes"], 60.0),
    UnitWords(&["h", "hour", "hours"], 3600.0),
    UnitWords(&["d", "day", "days"], 86_400.0),
];

const POWER: &[UnitWords] = &[
    UnitWords(&["W"], 1.0),
    UnitWords(&["kW"], 1000.0),
    UnitWords(&["Btu/h", "BTU/h"], 0.293_071_070_172_222),
];

const PRESSURE: &[UnitWords] = &[
    UnitWords(&["hPa", "mbar"], 100.0),
    UnitWords(&["kPa"], 1000.0),
    UnitWords(&["inHg"], 3386.3788),
    UnitWords(&["mmHg"], 133.322),
];

const AREA: &[UnitWords] = &[
    UnitWords(&["m2", "m²"], 1.0),
    UnitWords(&["cm2", "cm²"], 1e-4),
    UnitWords(&["sq ft", "ft2"], 0.092_903_04),
];

const SHARE: &[UnitWords] = &[UnitWords(&["%"], 0.01)];

const BRIX: &[UnitWords] = &[UnitWords(&["Bx", "°Bx", "Brix", "°Brix"], 1.0)];

const KELVIN: &[UnitWords] = &[UnitWords(&["C", "°C", "K"], 1.0), UnitWords(&["F", "°F"], 5.0 / 9.0)];

const DENSITY: &[UnitWords] = &[UnitWords(&["g/ml", "kg/l"], 1.0)];

impl Measure {
    fn read(&self, text: &str) -> Result<f64, Fault> {
        let number::Leading { value, rest, rest_at } = number::leading(text)?;
        let unit = self.unit(rest).map_err(|fault| in_rest(fault, text, rest, rest_at))?;
        self.in_range(value * unit, text)
    }

    /// Exact spelling first, so that `mW` is never read as `MW`; then without regard to case.
    fn unit(&self, word: &str) -> Result<f64, Fault> {
        let words = || {
            self.units
                .iter()
                .flat_map(|UnitWords(words, factor)| words.iter().map(move |w| (*w, *factor)))
        };
        let found = words()
            .find(|(known, _)| *known == word)
            .or_else(|| words().find(|(known, _)| known.eq_ignore_ascii_case(word)));
        found.map(|(_, factor)| factor).ok_or_else(|| {
            let what = if word.is_empty() {
                format!("{} without a unit", self.name)
            } else {
                format!("unknown unit \"{word}\" of {}", self.name)
            };
            Fault::new(
                what,
                spell::list(self.units.iter().filter_map(|unit| unit.0.first().copied())),
            )
            .near(spell::nearest(word, words().map(|(known, _)| known)))
        })
    }

    fn in_range(&self, value: f64, text: &str) -> Result<f64, Fault> {
        let (least, most) = self.range;
        // Half a billionth of slack lets both ends be written in any unit.
        let slack = 5e-10 * most.abs().max(least.abs());
        if value >= least - slack && value <= most + slack {
            Ok(value)
        } else {
            Err(Fault::new(
                format!("{} \"{}\" is out of range", self.name, text.trim()),
                self.range_words,
            ))
        }
    }
}

fn in_rest(fault: Fault, text: &str, rest: &str, rest_at: usize) -> Fault {
    fault.within(if rest.is_empty() {
        0..text.len()
    } else {
        rest_at..rest_at + rest.len()
    })
}

macro_rules! measures {
    ($($(#[$doc:meta])* $name:ident: $words:literal, $units:ident, $range:expr, $range_words:literal;)*) => {$(
        $(#[$doc])*
        ///
        /// # Errors
        /// A [`Fault`]: no number, no unit or an unknown one, or out of the range a kitchen has.
        pub fn $name(text: &str) -> Result<f64, Fault> {
            Measure { name: $words, units: $units, range: $range, range_words: $range_words }.read(text)
        }
    )*};
}

measures! {
    /// Height above sea level [m]: `120 m`, `400 ft`.
    altitude_m: "an altitude", LENGTH, (-430.0, 5000.0), "from -430 m to 5000 m";
    /// A length of kitchen gear [m]: `28 cm`, `11 in`.
    length_m: "a length", LENGTH, (0.01, 3.0), "from 1 cm to 3 m";
    /// Headspace [m]: `1/2 in`, `6 mm`.
    headspace_m: "a headspace", LENGTH, (0.0, 0.1), "from 0 to 10 cm";
    /// Volume [L]: `6 L`.
    volume_l: "a volume", VOLUME, (0.01, 2000.0), "from 10 ml to 2000 L";
    /// Mass [g]: `270 g`, `2 kg`.
    mass_g: "a weight", MASS, (0.001, 1e6), "from 1 mg to 1000 kg";
    /// Mass [g] that may be zero: what stays in a pot.
    loss_g: "a weight", MASS, (0.0, 1e5), "from 0 to 100 kg";
    /// Time [s]: `15 min`, `2 h`.
    time_s: "a time", TIME, (0.0, 864_000.0), "from 0 to 10 days";
    /// Power [W]: `2.4 kW`.
    power_w: "a power", POWER, (10.0, 200_000.0), "from 10 W to 200 kW";
    /// Air pressure [Pa]: `1013 hPa`.
    pressure_pa: "an air pressure", PRESSURE, (50_000.0, 110_000.0), "from 500 hPa to 1100 hPa, as the barometer reads here, not corrected to sea level";
    /// Area [m²]: `1.2 m2`.
    area_m2: "an area", AREA, (0.01, 1000.0), "from 0.01 m2 to 1000 m2";
    /// A share of 1 from `0 %` to `100 %`.
    share: "a share", SHARE, (0.0, 1.0), "from 0 % to 100 %";
    /// Soluble solids [°Brix]: `65 Bx`.
    brix: "soluble solids", BRIX, (0.0, 90.0), "from 0 Bx to 90 Bx";
    /// A temperature difference [K]: `1 C`, `2 F`.
    kelvin: "a temperature difference", KELVIN, (0.0, 100.0), "from 0 C to 100 C";
    /// Bulk density [g/ml]: `1.04 g/ml`.
    density_g_ml: "a density", DENSITY, (0.05, 3.0), "from 0.05 g/ml to 3 g/ml";
}

/// Temperature [°C]: `170 F`, `77 C`.
///
/// ```text
/// C = (F - 32) 5/9
/// ```
///
/// # Errors
/// A [`Fault`]: no number, no unit or an unknown one, or outside -60 °C to 300 °C.
///
/// # Source
/// `ucum_2_2`, special unit `[degF]`.
pub fn temperature_c(text: &str) -> Result<f64, Fault> {
    const SCALES: [&str; 4] = ["C", "F", "°C", "°F"];
    let number::Leading { value, rest, rest_at } = number::leading(text)?;
    let c = match rest.trim_start_matches('°').trim_start() {
        "C" | "c" => value,
        "F" | "f" => (value - 32.0) * 5.0 / 9.0,
        "" => {
            return Err(in_rest(
                Fault::new("a temperature without a unit", "C or F"),
                text,
                rest,
                rest_at,
            ));
        }
        _ => {
            let fault = Fault::new(format!("unknown unit \"{rest}\" of a temperature"), "C or F");
            return Err(in_rest(fault.near(spell::nearest(rest, SCALES)), text, rest, rest_at));
        }
    };
    if (-60.0..=300.0).contains(&c) {
        Ok(c)
    } else {
        Err(Fault::new(
            format!("temperature \"{}\" is out of range", text.trim()),
            "from -60 C to 300 C",
        ))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn near(got: Result<f64, Fault>, want: f64) -> bool {
        got.is_ok_and(|got| (got - want).abs() <= 1e-9 * want.abs().max(1.0))
    }

    #[test]
    fn units_are_worth_what_the_unit_code_says() {
        // UCUM 2.2: [in_i], [ft_i], [lb_av], [oz_av], [degF], [Btu_IT], [gal_us].
        assert!(near(headspace_m("1/2 in"), 0.0127));
        assert!(near(altitude_m("400 ft"), 121.92));
        assert!(near(mass_g("1 lb"), 453.592_37));
        assert!(near(mass_g("2 oz"), 56.699_046_25));
        assert!(near(temperature_c("212 F"), 100.0));
        assert!(near(temperature_c("185 F"), 85.0));
        assert!(near(temperature_c("41 °F"), 5.0));
        assert!(near(power_w("10000 Btu/h"), 1_055.055_852_62 * 10_000.0 / 3600.0));
        assert!(near(volume_l("5 US gal"), 18.927_058_92));
        assert!(near(time_s("1 1/2 h"), 5400.0));
        assert!(near(kelvin("9 F"), 5.0));
        assert!(near(share("35 %"), 0.35));
        assert!(near(brix("65 Bx"), 65.0));
    }

    #[test]
    fn a_number_without_a_unit_is_refused() {
        for (got, words) in [
            (temperature_c("170"), "a temperature without a unit; expected C or F"),
            (
                altitude_m("120"),
                "an altitude without a unit; expected mm, cm, m, in or ft",
            ),
            (time_s("15"), "a time without a unit; expected s, min, h or d"),
        ] {
            assert_eq!(got.map_err(|fault| fault.to_string()), Err(words.to_owned()));
        }
    }

    #[test]
    fn a_misspelt_unit_names_the_nearest_and_its_place() {
        let fault = time_s("15 mim").map_err(|fault| (fault.nearest, fault.within));
        assert_eq!(fault, Err((Some("min".to_owned()), Some(3..6))));
    }

    #[test]
    fn what_no_kitchen_has_is_out_of_range() {
        for got in [
            temperature_c("900 C"),
            altitude_m("9000 m"),
            share("120 %"),
            volume_l("-2 L"),
            pressure_pa("30 hPa"),
        ] {
            assert!(got.is_err_and(|fault| fault.what.contains("out of range")));
        }
    }

    proptest! {
        #[test]
        fn fahrenheit_and_celsius_agree(c in -50.0f64..290.0) {
            let f = c * 9.0 / 5.0 + 32.0;
            let read = temperature_c(&format!("{f} F"));
            prop_assert!(read.is_err() || read.is_ok_and(|read| (read - c).abs() < 1e-9));
        }

        #[test]
        fn arbitrary_text_never_panics(text in ".{0,40}") {
            let _ = (temperature_c(&text), altitude_m(&text), share(&text), time_s(&text), brix(&text));
        }
    }
}
