//! Material of a print or a casting: the figures that sizing uses, and where they come from.

/// One material of the library.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Key in the library.
    pub key: String,
    /// Name for people.
    pub title: String,
    /// Tangent modulus at small strain, MPa.
    pub modulus_mpa: FigureBounds,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Permissible short-term strain for one snapping.
    pub strain_single: f64,
    /// Permissible strain for repeated snapping.
    pub strain_repeated: f64,
    /// Permissible strain that stays at rest for long.
    pub strain_at_rest: f64,
    /// Strain at yield. The secant modulus falls with the strain, to half of the tangent modulus there.
    pub strain_yield: f64,
    /// Friction against common barrels.
    pub friction: FigureBounds,
    /// Density, g/cm³.
    pub density_g_cm3: f64,
    /// Share of the grip force that is left after 1,000 h at rest on the barrel or body.
    pub grip_after_1000_h: FigureBounds,
    /// Share of the permissible strain that a print bears when it bends across its layers.
    /// A casting has no layers and bears all of it.
    pub across_layers: f64,
    /// Greatest temperature of service under load, °C; absent if not declared.
    pub service_temperature_c: Option<f64>,
    /// Modulus at other temperatures; absent if not declared.
    pub modulus_by_temperature: Option<SharesByTemperature>,
    /// Permissible strains at other temperatures; absent if not declared.
    pub strain_by_temperature: Option<SharesByTemperature>,
    /// Grip left after 1,000 h at other temperatures; absent if not declared.
    pub grip_by_temperature: Option<SharesByTemperature>,
    /// Effect of moisture in plain words; absent if not declared.
    pub moisture: Option<String>,
    /// What cracks it under load, in plain words; absent if not declared.
    pub cracks_with: Option<String>,
    /// How parts of it are made; absent if not declared.
    pub process: Option<MaterialProcess>,
    /// Keys of narrower classes that serve better; empty if this one is narrow enough.
    pub narrower: Vec<String>,
    /// Sources of the figures, one line each.
    pub sources: Vec<String>,
}

/// How parts of a material are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MaterialProcess {
    /// Printed of filament.
    Filament,
    /// Printed of powder, sintered or fused.
    Powder,
    /// Printed of liquid resin that light cures.
    Photopolymer,
    /// Cast of resin that cures in the mould.
    Casting,
    /// Moulded of melt.
    Moulding,
}

impl MaterialProcess {
    /// Word in material files and JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Filament => "filament",
            Self::Powder => "powder",
            Self::Photopolymer => "photopolymer",
            Self::Casting => "casting",
            Self::Moulding => "moulding",
        }
    }

    /// True if a printer makes such parts.
    pub fn is_printed(self) -> bool {
        matches!(self, Self::Filament | Self::Powder | Self::Photopolymer)
    }
}

/// Temperature to which the figures of a material belong, °C.
pub const REFERENCE_TEMPERATURE_C: f64 = 23.0;

/// Shares of a figure at other temperatures than 23 °C, where the share is 1.
#[derive(Clone, Debug, PartialEq)]
pub struct SharesByTemperature {
    /// Points in ascending order of temperature.
    points: Vec<TemperatureShare>,
}

/// Share of a figure at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TemperatureShare {
    /// Temperature, °C.
    pub celsius: f64,
    /// Share of the figure at 23 °C.
    pub share: f64,
}

impl SharesByTemperature {
    /// Returns the shares of points in any order; `None` if two of them have the same temperature, or one has 23 °C.
    pub fn new(points: impl IntoIterator<Item = TemperatureShare>) -> Option<Self> {
        let reference = TemperatureShare { celsius: REFERENCE_TEMPERATURE_C, share: 1.0 };
        let mut points: Vec<TemperatureShare> = points.into_iter().chain([reference]).collect();
        points.sort_by(|one, other| one.celsius.total_cmp(&other.celsius));
        let ascend = points.windows(2).all(|pair| matches!(pair, [one, other] if one.celsius < other.celsius));
        ascend.then_some(Self { points })
    }

    /// Points in ascending order of temperature, 23 °C among them.
    pub fn points(&self) -> &[TemperatureShare] {
        &self.points
    }

    /// Least and greatest temperature of the points, °C; 23 °C is one of them.
    pub fn reach_c(&self) -> [f64; 2] {
        let ends = [self.points.first(), self.points.last()];
        ends.map(|point| point.map_or(REFERENCE_TEMPERATURE_C, |point| point.celsius))
    }

    /// Returns the share at a temperature, °C: linear between the points, `None` beyond the first and the last.
    pub fn at(&self, celsius: f64) -> Option<f64> {
        self.points.windows(2).find_map(|pair| {
            let [one, other] = pair else { return None };
            let along = (celsius - one.celsius) / (other.celsius - one.celsius);
            (0.0..=1.0).contains(&along).then_some(one.share + along * (other.share - one.share))
        })
    }
}

impl Material {
    /// Returns what the material declares by temperature: stiffness, strain and relaxation, in words and as shares.
    pub fn shares_by_temperature(&self) -> [(&'static str, Option<&SharesByTemperature>); 3] {
        [
            ("stiffness", self.modulus_by_temperature.as_ref()),
            ("permissible strain", self.strain_by_temperature.as_ref()),
            ("relaxation", self.grip_by_temperature.as_ref()),
        ]
    }

    /// Returns the material for use at 23 °C and at another temperature, °C, with the declared shares.
    ///
    /// A holder is snapped on at 23 °C and must hold at the other temperature, too: the modulus covers both, and of
    /// strains and relaxation the worse counts. A figure without a declared share stays as it is.
    #[must_use]
    pub fn also_at(&self, celsius: f64) -> Self {
        let share =
            |shares: &Option<SharesByTemperature>| shares.as_ref().and_then(|shares| shares.at(celsius)).unwrap_or(1.0);
        let covering = |figure: FigureBounds, share: f64| FigureBounds {
            least: figure.least * share.min(1.0),
            greatest: figure.greatest * share.max(1.0),
        };
        let strain = share(&self.strain_by_temperature).min(1.0);
        let grip = covering(self.grip_after_1000_h, share(&self.grip_by_temperature));
        Self {
            modulus_mpa: covering(self.modulus_mpa, share(&self.modulus_by_temperature)),
            strain_single: strain * self.strain_single,
            strain_repeated: strain * self.strain_repeated,
            strain_at_rest: strain * self.strain_at_rest,
            strain_yield: strain * self.strain_yield,
            grip_after_1000_h: FigureBounds { least: grip.least, greatest: grip.greatest.min(1.0) },
            ..self.clone()
        }
    }
}

/// Lower and upper bound of a material figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FigureBounds {
    /// Lower bound.
    pub least: f64,
    /// Upper bound.
    pub greatest: f64,
}

impl FigureBounds {
    /// Returns the mean of the two bounds.
    pub fn middle(self) -> f64 {
        0.5 * (self.least + self.greatest)
    }
}
