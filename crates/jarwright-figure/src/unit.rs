//! Units a figure can carry.

/// Unit of a figure. Temperatures are °C; temperature differences are K.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// A pure number or ratio.
    One,
    /// A count of things (jars, batches, eggs).
    Count,
    /// Percent by mass unless the name says otherwise.
    Percent,
    /// Gram.
    Gram,
    /// Kilogram.
    Kilogram,
    /// Litre.
    Litre,
    /// Millilitre.
    Millilitre,
    /// Metre.
    Metre,
    /// Millimetre.
    Millimetre,
    /// Degree Celsius.
    Celsius,
    /// Kelvin, a temperature difference.
    Kelvin,
    /// Second.
    Second,
    /// Minute.
    Minute,
    /// Hour.
    Hour,
    /// Day.
    Day,
    /// Watt.
    Watt,
    /// Kilowatt-hour.
    KilowattHour,
    /// Pascal.
    Pascal,
    /// Degree Brix: grams of soluble solids in 100 g, by refractometer at 20 °C.
    Brix,
    /// pH.
    Ph,
    /// Water activity.
    WaterActivity,
    /// Kilogram per cubic metre.
    KilogramPerCubicMetre,
    /// Watt per metre and kelvin.
    WattPerMetreKelvin,
    /// Joule per kilogram and kelvin.
    JoulePerKilogramKelvin,
    /// Square metre per second.
    SquareMetrePerSecond,
    /// Watt per square metre and kelvin.
    WattPerSquareMetreKelvin,
    /// Mole per kilogram of water: molality.
    MolePerKilogram,
    /// Millimole per kilogram.
    MillimolePerKilogram,
    /// Money in the kitchen's currency.
    Money,
    /// Money in the kitchen's currency per hour.
    MoneyPerHour,
    /// Money in the kitchen's currency per kilowatt-hour.
    MoneyPerKilowattHour,
    /// Gram per 100 g.
    GramPer100Gram,
    /// Gram per kilogram.
    GramPerKilogram,
    /// Jars per minute.
    JarsPerMinute,
}

impl Unit {
    /// Every unit.
    pub const ALL: [Self; 34] = [
        Self::One,
        Self::Count,
        Self::Percent,
        Self::Gram,
        Self::Kilogram,
        Self::Litre,
        Self::Millilitre,
        Self::Metre,
        Self::Millimetre,
        Self::Celsius,
        Self::Kelvin,
        Self::Second,
        Self::Minute,
        Self::Hour,
        Self::Day,
        Self::Watt,
        Self::KilowattHour,
        Self::Pascal,
        Self::Brix,
        Self::Ph,
        Self::WaterActivity,
        Self::KilogramPerCubicMetre,
        Self::WattPerMetreKelvin,
        Self::JoulePerKilogramKelvin,
        Self::SquareMetrePerSecond,
        Self::WattPerSquareMetreKelvin,
        Self::MolePerKilogram,
        Self::MillimolePerKilogram,
        Self::Money,
        Self::MoneyPerHour,
        Self::MoneyPerKilowattHour,
        Self::GramPer100Gram,
        Self::GramPerKilogram,
        Self::JarsPerMinute,
    ];

    /// The unit of a symbol.
    #[must_use]
    pub fn parse(symbol: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.symbol() == symbol)
    }

    /// The unit's symbol, UCUM-like where one exists.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::One => "1",
            Self::Count => "count",
            Self::Percent => "%",
            Self::Gram => "g",
            Self::Kilogram => "kg",
            Self::Litre => "L",
            Self::Millilitre => "mL",
            Self::Metre => "m",
            Self::Millimetre => "mm",
            Self::Celsius => "°C",
            Self::Kelvin => "K",
            Self::Second => "s",
            Self::Minute => "min",
            Self::Hour => "h",
            Self::Day => "d",
            Self::Watt => "W",
            Self::KilowattHour => "kWh",
            Self::Pascal => "Pa",
            Self::Brix => "°Brix",
            Self::Ph => "pH",
            Self::WaterActivity => "a_w",
            Self::KilogramPerCubicMetre => "kg/m³",
            Self::WattPerMetreKelvin => "W/(m·K)",
            Self::JoulePerKilogramKelvin => "J/(kg·K)",
            Self::SquareMetrePerSecond => "m²/s",
            Self::WattPerSquareMetreKelvin => "W/(m²·K)",
            Self::MolePerKilogram => "mol/kg",
            Self::MillimolePerKilogram => "mmol/kg",
            Self::Money => "money",
            Self::MoneyPerHour => "money/h",
            Self::MoneyPerKilowattHour => "money/kWh",
            Self::GramPer100Gram => "g/100 g",
            Self::GramPerKilogram => "g/kg",
            Self::JarsPerMinute => "jars/min",
        }
    }
}

impl serde::Serialize for Unit {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.symbol())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_is_found_by_its_symbol() {
        for unit in Unit::ALL {
            assert_eq!(Unit::parse(unit.symbol()), Some(unit));
        }
        assert_eq!(Unit::parse("furlong"), None);
    }
}
