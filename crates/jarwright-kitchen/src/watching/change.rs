//! What is changed at a planned pot, within its bounds.

use crate::PlanError;

/// What is changed at the pot; what is left out stays as planned.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PotChange {
    /// Food in the pot as a share of the planned batch's, 0.05 to 10; not with `jars`.
    pub of_batch: Option<f64>,
    /// Jars that the batch is for, 1 to 500, as much food a jar as planned; not with `of_batch`.
    pub jars: Option<u32>,
    /// Share of the burner's rating that is turned on, 0.1 to 1; 1 is as planned.
    pub burner_share: Option<f64>,
    /// Food when the heat goes on [°C], 0 to 100 and below where the cook ends.
    pub start_c: Option<f64>,
    /// Rounds of the spoon a minute: 0 where nobody stirs, else 25 to 200; slower ones move the food no
    /// better than its own warmth does, by the laws used. Over steam they change how well the food takes
    /// its heat, on a burner only how hot its wall gets.
    pub stirs_per_min: Option<f64>,
}

impl PotChange {
    /// Every number within its bounds.
    pub(super) fn check(&self) -> Result<(), PlanError> {
        let within = |what: &str, got: Option<f64>, (least, most): (f64, f64), unit: &str| match got {
            Some(got) if !(least..=most).contains(&got) => Err(PlanError::asked(
                format!("{what} of {got}{unit} is no pot that can be watched"),
                format!("give {least} to {most}{unit}"),
            )),
            _ => Ok(()),
        };
        within("a share of the batch", self.of_batch, (0.05, 10.0), "")?;
        within("a batch", self.jars.map(f64::from), (1.0, 500.0), " jars")?;
        within("a burner share", self.burner_share, (0.1, 1.0), "")?;
        within("a start", self.start_c, (0.0, 100.0), " °C")?;
        let stirred = self.stirs_per_min.filter(|rounds| *rounds != 0.0);
        within(
            "stirring",
            stirred,
            (25.0, 200.0),
            " rounds a minute, or 0 where nobody stirs",
        )?;
        if self.of_batch.is_some() && self.jars.is_some() {
            return Err(PlanError::asked(
                "a share of the batch and its jars at once",
                "give one of the two",
            ));
        }
        Ok(())
    }
}
