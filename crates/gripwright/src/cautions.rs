//! Cautions at the step of the work that they belong to: on the coupons' card, after files are made, in the manual.

use std::borrow::Cow;

use gripwright_input::{Material, MaterialProcess, Spec};

/// Step of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CautionStep {
    /// Parts and coupons are printed.
    Print,
    /// The part is cast in a mould of its master.
    Cast,
    /// Supports and edges are trimmed.
    Trim,
    /// Coupons are tried.
    Try,
    /// The part is snapped on for the first time.
    FirstFit,
    /// The part is used.
    Use,
}

impl CautionStep {
    /// All steps in their order.
    pub const ALL: [Self; 6] = [Self::Print, Self::Cast, Self::Trim, Self::Try, Self::FirstFit, Self::Use];
    /// Steps of the coupons, and the cast of a part whose resin is chosen already.
    pub const OF_COUPONS: [Self; 4] = [Self::Print, Self::Cast, Self::Trim, Self::Try];

    /// Steps of a mould and its masters.
    pub const OF_MOULD: [Self; 3] = [Self::Print, Self::Cast, Self::Trim];

    /// Words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Print => "when you print",
            Self::Cast => "when you cast",
            Self::Trim => "when you trim",
            Self::Try => "when you try the coupons",
            Self::FirstFit => "when you snap the part on for the first time",
            Self::Use => "when you use it",
        }
    }
}

/// A caution.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Step at which it counts.
    pub step: CautionStep,
    /// Subject in a word or two.
    pub subject: &'static str,
    /// Text of one or two sentences.
    pub text: Cow<'static, str>,
}

const FUMES: &str = "Print in a ventilated room and follow the material's data sheet.";
const UNCURED: &str = "Uncured photopolymer irritates and sensitises the skin: wear gloves and goggles, wash and cure the \
                       parts fully, and follow its safety data sheet.";
const RESIN: &str = "Uncured casting resins and their hardeners harm lungs, skin and eyes: ventilate, wear gloves and \
                     goggles, and follow their safety data sheets.";
const BLADES: &str = "Cut away from the hand and clamp the part when trimming; follow the tool maker's instructions.";
pub(crate) const DUST: &str =
    "Sand wet or with extraction and a mask; the dust of resins and filled plastics harms the lungs.";
pub(crate) const SNAP: &str =
    "A clip that is bent too far can break and throw pieces: wear eye protection when trying coupons.";
const RELEASE: &str =
    "Under the pull of a scale a tool lets go suddenly: pull away from the face, with nothing behind the hand.";
const FIRST_SNAP: &str = "Support the device close to the mount, so that the push does not go through its joints, and protect \
                          your eyes: a new part may break.";
const LOADS: &str = "Forces and margins are estimates until coupons have been tried. Do not hang anything over people, and do \
                     not trust a holder where its failure could hurt someone, without a test of your own.";
const LANYARD: &str = "On vehicles and overhead, secure tool and holder by a lanyard of their own.";
const BODIES: &str = "Not for medical use and not for contact with food: nothing here was tested for either.";
const RELAXES: &str = "A grip relaxes: pull by hand after an hour, a day and a month, and see what is left.";
/// Sentence on what takes precedence over the cautions.
pub const PRECEDENCE: &str = "Data sheets, local codes and licensed practice go before anything said here.";

/// Returns all cautions, whatever the material is.
pub fn all_cautions() -> Vec<Caution> {
    cautions(None, &CautionStep::ALL)
}

/// Returns the cautions of some steps for a spec.
pub fn cautions_of(spec: &Spec, steps: &[CautionStep]) -> Vec<Caution> {
    cautions(Some(spec), steps)
}

fn cautions(spec: Option<&Spec>, steps: &[CautionStep]) -> Vec<Caution> {
    use CautionStep::{Cast, FirstFit, Print, Trim, Try, Use};
    let is_cast = spec.is_none_or(|spec| spec.material.cast.is_some());
    // What is not declared may be one.
    let may_be_photopolymer =
        |material: &Material| material.process.is_none_or(|process| process == MaterialProcess::Photopolymer);
    let is_resin =
        spec.is_none_or(|spec| [&spec.material.print, spec.coupon_material()].into_iter().any(may_be_photopolymer));
    let entries = [
        (Print, "Fumes", true, FUMES.into()),
        (Print, "Uncured resin", is_resin, UNCURED.into()),
        (Cast, "Casting resin", is_cast, RESIN.into()),
        (Trim, "Blades", true, BLADES.into()),
        (Trim, "Dust", true, DUST.into()),
        (Try, "Snap", true, SNAP.into()),
        (Try, "Sudden release", true, RELEASE.into()),
        (FirstFit, "First snap", true, FIRST_SNAP.into()),
        (Use, "Loads", true, LOADS.into()),
        (Use, "Lanyard", true, LANYARD.into()),
        (Use, "Medical and food", true, BODIES.into()),
        (Use, "Electricity and heat", true, electricity_and_heat(spec)),
        (Use, "Relaxation", true, RELAXES.into()),
    ];
    let counts = entries.into_iter().filter(|(step, _, applies, _)| *applies && steps.contains(step));
    counts.map(|(step, subject, _, text): Entry| Caution { step, subject, text }).collect()
}

type Entry = (CautionStep, &'static str, bool, Cow<'static, str>);

fn electricity_and_heat(spec: Option<&Spec>) -> Cow<'static, str> {
    let serves = match spec.map(|spec| spec.material.part_material()) {
        None => "service temperatures are in `gripwright materials`".to_owned(),
        Some(Material { title, service_temperature_c: Some(most), .. }) => {
            format!("{title} is declared to serve up to {most} °C under load")
        }
        Some(Material { title, .. }) => format!("the service temperature of {title} is not declared"),
    };
    format!("Keep it off live electrical parts, which belong to licensed practice, and off what gets hot: {serves}.")
        .into()
}
