//! Classes of food, in the trade's words.

/// Class of food a schedule, rule or keeping time speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FoodClass {
    /// Egg-set fruit curd.
    Curd,
    /// Jam, preserve, conserve.
    Jam,
    /// Jelly from juice.
    Jelly,
    /// Citrus marmalade.
    Marmalade,
    /// Fruit butter.
    FruitButter,
    /// Chutney.
    Chutney,
    /// Vegetable or fruit in acid brine.
    Pickle,
    /// Relish.
    Relish,
    /// Sauce.
    Sauce,
    /// Salsa.
    Salsa,
    /// Syrup.
    Syrup,
    /// Fruit in water, juice or syrup; fruit sauce.
    Fruit,
    /// Tomatoes, acidified.
    Tomato,
    /// Anything else.
    Other,
}

impl FoodClass {
    /// Every class.
    pub const ALL: [Self; 14] = [
        Self::Curd,
        Self::Jam,
        Self::Jelly,
        Self::Marmalade,
        Self::FruitButter,
        Self::Chutney,
        Self::Pickle,
        Self::Relish,
        Self::Sauce,
        Self::Salsa,
        Self::Syrup,
        Self::Fruit,
        Self::Tomato,
        Self::Other,
    ];

    /// The trade's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Curd => "curd",
            Self::Jam => "jam",
            Self::Jelly => "jelly",
            Self::Marmalade => "marmalade",
            Self::FruitButter => "fruit butter",
            Self::Chutney => "chutney",
            Self::Pickle => "pickle",
            Self::Relish => "relish",
            Self::Sauce => "sauce",
            Self::Salsa => "salsa",
            Self::Syrup => "syrup",
            Self::Fruit => "fruit",
            Self::Tomato => "tomato",
            Self::Other => "other",
        }
    }

    /// Reads the trade's word.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        Self::ALL
            .into_iter()
            .find(|class| class.word().eq_ignore_ascii_case(text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn food_words_read_back() {
        for food in FoodClass::ALL {
            assert_eq!(FoodClass::parse(food.word()), Some(food));
        }
    }
}
