//! Cautions of mould making and casting, for the steps of the bench sheet.

use std::borrow::Cow;

use gripwright_report::BenchStep;

use crate::cautions;

/// Subject of a caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BenchCaution {
    /// Dust of sanding.
    Dust,
    /// Sprays.
    Spray,
    /// What stops silicone from curing.
    Cleanliness,
    /// Silicone on skin.
    Silicone,
    /// Vacuum chamber.
    Vacuum,
    /// Pressure vessel.
    Vessel,
    /// Knives.
    Knife,
    /// Polyurethane components.
    Isocyanate,
    /// Heat of the reaction.
    Exotherm,
    /// Ovens.
    Oven,
    /// Clips that break.
    Snap,
    /// What castings are not for.
    Bodies,
}

impl BenchCaution {
    /// All cautions.
    pub const ALL: [Self; 12] = [
        Self::Dust,
        Self::Spray,
        Self::Cleanliness,
        Self::Silicone,
        Self::Vacuum,
        Self::Vessel,
        Self::Knife,
        Self::Isocyanate,
        Self::Exotherm,
        Self::Oven,
        Self::Snap,
        Self::Bodies,
    ];

    /// Subject in a word or two.
    pub fn subject(self) -> &'static str {
        match self {
            Self::Dust => "dust",
            Self::Spray => "spray",
            Self::Cleanliness => "clean silicone",
            Self::Silicone => "silicone on skin",
            Self::Vacuum => "vacuum chamber",
            Self::Vessel => "pressure vessel",
            Self::Knife => "knife",
            Self::Isocyanate => "isocyanate",
            Self::Exotherm => "heat of the reaction",
            Self::Oven => "oven",
            Self::Snap => "snap",
            Self::Bodies => "food and medical use",
        }
    }

    /// Text of one or a few sentences.
    pub fn text(self) -> Cow<'static, str> {
        match self {
            Self::Dust => cautions::DUST.into(),
            Self::Spray => "Spray outdoors or with extraction, away from flames, with a mask for organic vapour.".into(),
            Self::Cleanliness => {
                "Sulphur clay, latex gloves, tin-cured rubber, amines and some photopolymers keep addition-cure silicone from \
                 curing. Use nitrile gloves, clean cups, and tools that touched none of them."
                    .into()
            }
            Self::Silicone => "Keep silicone and its catalyst off skin and eyes: wear nitrile gloves and goggles.".into(),
            Self::Vacuum => {
                "A shock implodes a vacuum chamber. Use one made for the purpose, without a scratch or a crack, behind a guard; \
                 wear goggles."
                    .into()
            }
            Self::Vessel => {
                "Use only a vessel made for this pressure, with a relief valve, never above its mark: at 4 bar, a lid of \
                 300 mm is pushed up by 28 kN. Keep your face away from it. Admit air slowly and bleed it slowly; touch no clamp before the gauge \
                 reads zero."
                    .into()
            }
            Self::Knife => "Cut away from the hand that holds the work, with a sharp blade and little force.".into(),
            Self::Isocyanate => {
                "One part of the resin is an isocyanate, which can make lungs and skin allergic for life. Wear nitrile gloves \
                 and goggles, and ventilate or extract. Neither spray nor heat it without an air-fed mask. Whoever reacts to it \
                 stops for good. The EU demands a training from 0.1 % of diisocyanate on."
                    .into()
            }
            Self::Exotherm => {
                "The resin heats itself, the more the larger the mass: at most 100 g in one cup. Let leftovers harden and cool \
                 in the open before they go into the bin."
                    .into()
            }
            Self::Oven => {
                "Warm resin and silicone give off vapour: use an oven that never sees food, with extraction, and check its \
                 temperature with a thermometer of its own."
                    .into()
            }
            Self::Snap => cautions::SNAP.into(),
            Self::Bodies => {
                "Castings are not for food, drinking water or medical use: nothing here was tested for them.".into()
            }
        }
    }
}

/// A step with the cautions that matter there.
pub(crate) struct CautionedStep {
    pub(crate) step: BenchStep,
    pub(crate) cautions: Vec<BenchCaution>,
}

/// Writes each caution out at the first step where it matters. Later steps name the step to look at.
pub(crate) fn place_cautions(steps: Vec<CautionedStep>) -> Vec<BenchStep> {
    let mut told: Vec<(BenchCaution, usize)> = Vec::new();
    let mut placed = Vec::new();
    for (index, CautionedStep { mut step, cautions }) in steps.into_iter().enumerate() {
        let mut again = Vec::new();
        for caution in cautions {
            if let Some((_, first)) = told.iter().find(|(old, _)| *old == caution) {
                again.push(format!("{} (step {})", caution.subject(), first + 1));
            } else {
                told.push((caution, index));
                step.cautions.push(caution.text().into_owned());
            }
        }
        if !again.is_empty() {
            step.cautions.push(format!("As before: {}.", again.join(", ")));
        }
        placed.push(step);
    }
    placed
}
