//! A figure on a page: its value, its band, and the way to its why.

use jarwright_figure::{Figure, Unit};
use jarwright_papers::words;
use maud::{Markup, html};

use crate::reader::{Reader, Scale};

/// Shows the figures of one answer: how the reader reads, and where an answer's whys are.
#[derive(Debug, Clone, Copy)]
pub struct Figures<'a> {
    reader: Reader,
    /// Address of the answer's whys, without the figure's handle: `/runs/market/why`.
    why: &'a str,
    /// What follows the handle in the address: `?fill_c=80`.
    query: &'a str,
    currency: &'a str,
}

impl<'a> Figures<'a> {
    /// Shows the figures of an answer.
    #[must_use]
    pub fn new(reader: Reader, why: &'a str, currency: &'a str) -> Self {
        Self {
            reader,
            why,
            query: "",
            currency,
        }
    }

    /// The same, of an answer that was asked with something in the address.
    #[must_use]
    pub fn asked_with(self, query: &'a str) -> Self {
        Self { query, ..self }
    }

    /// A figure with its band.
    pub fn show(&self, figure: &Figure) -> Markup {
        self.linked(figure, &self.value(figure), self.spread(figure).as_deref())
    }

    /// A figure without its band.
    pub fn plain(&self, figure: &Figure) -> Markup {
        self.linked(figure, &self.value(figure), None)
    }

    /// A span of time, in hours once it is long.
    pub fn duration(&self, figure: &Figure) -> Markup {
        let whole = words::duration(figure);
        match whole.split_once(" (") {
            Some((value, band)) => self.linked(figure, value, Some(band.trim_end_matches(')'))),
            None => self.linked(figure, &whole, None),
        }
    }

    /// A share in percent.
    pub fn share(&self, figure: &Figure) -> Markup {
        let percent = words::percent(figure);
        self.linked(figure, &words::value(&percent), words::spread(&percent).as_deref())
    }

    /// A figure in words of the page's own: grams on a scale, cups.
    pub fn said(&self, figure: &Figure, text: &str) -> Markup {
        self.linked(figure, text, None)
    }

    /// The value in the reader's scale.
    #[must_use]
    pub fn value(&self, figure: &Figure) -> String {
        match figure.unit {
            Unit::Money | Unit::MoneyPerHour | Unit::MoneyPerKilowattHour => {
                let whole = words::money(figure, self.currency);
                whole
                    .split_once(" (")
                    .map_or(whole.clone(), |(value, _)| value.to_owned())
            }
            Unit::Celsius | Unit::Kelvin => in_scale(&words::value(figure), self.reader.scale),
            // As a barometer shows it.
            Unit::Pascal => format!("{:.0} hPa", figure.value / 100.0),
            _ => words::value(figure),
        }
    }

    /// The band in the reader's scale.
    #[must_use]
    pub fn spread(&self, figure: &Figure) -> Option<String> {
        match figure.unit {
            Unit::Money | Unit::MoneyPerHour | Unit::MoneyPerKilowattHour => {
                let whole = words::money(figure, self.currency);
                whole
                    .split_once(" (")
                    .map(|(_, band)| band.trim_end_matches(')').to_owned())
            }
            Unit::Celsius | Unit::Kelvin => words::spread(figure).map(|band| in_scale(&band, self.reader.scale)),
            Unit::Pascal => {
                words::spread(figure).map(|_| format!("{:.0} to {:.0} hPa", figure.low / 100.0, figure.high / 100.0))
            }
            _ => words::spread(figure),
        }
    }

    fn linked(&self, figure: &Figure, value: &str, band: Option<&str>) -> Markup {
        let about = self.reader.words();
        html! {
            a class="fig" href={ (self.why) "/" (figure.id) (self.query) } {
                span class="v" { (value) }
                @if let Some(band) = band { " " span class="band" { (band) } }
                span class="unseen" { " " (about.say("why.ask")) }
            }
        }
    }
}

/// Text that holds a temperature in both scales, `77 °C (171 °F)`, in the reader's.
fn in_scale(both: &str, scale: Scale) -> String {
    let parts = both
        .split_once(" (")
        .map(|(first, second)| (first, second.trim_end_matches(')')));
    match (scale, parts) {
        (Scale::Celsius, Some((celsius, _))) => celsius.to_owned(),
        (Scale::Fahrenheit, Some((_, fahrenheit))) => fahrenheit.to_owned(),
        (Scale::Both, _) | (_, None) => both.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_temperature_is_read_in_the_scale_that_was_chosen() {
        let both = "77 °C (171 °F)";
        assert_eq!(in_scale(both, Scale::Celsius), "77 °C");
        assert_eq!(in_scale(both, Scale::Fahrenheit), "171 °F");
        assert_eq!(in_scale(both, Scale::Both), both);
        assert_eq!(
            in_scale("76 to 78 °C (169 to 172 °F)", Scale::Fahrenheit),
            "169 to 172 °F"
        );
        assert_eq!(in_scale("unknown", Scale::Fahrenheit), "unknown");
    }
}
