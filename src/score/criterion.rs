//! The table of criteria. Everything that is printed about a score is read from here.

/// Which way a criterion gets better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Better {
    Higher,
    Lower,
}

/// What a layout with its gears can be scored by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Criterion {
    Spread,
    StepDeviation,
    ElementCount,
    ShiftElements,
    Sets,
    SwapsPerShift,
    OpenElements,
    ReverseToFirst,
    DirectGears,
    GearsAfterFault,
    WorstEfficiency,
    MeanEfficiency,
    BackEfficiency,
    ElementTorque,
    PlanetSpeed,
    ShaftSpeed,
    OpenSlip,
    RollingPower,
    BranchPower,
    Nests,
    OuterDiameter,
    RatioError,
    Efficiency,
    Length,
    PartCount,
    DifferentGears,
    Price,
    Safety,
}

impl Criterion {
    /// Those of a gearbox, in the order of tables.
    pub const ALL: [Self; 21] = [
        Self::Spread,
        Self::StepDeviation,
        Self::ElementCount,
        Self::ShiftElements,
        Self::Sets,
        Self::SwapsPerShift,
        Self::OpenElements,
        Self::ReverseToFirst,
        Self::DirectGears,
        Self::GearsAfterFault,
        Self::WorstEfficiency,
        Self::MeanEfficiency,
        Self::BackEfficiency,
        Self::ElementTorque,
        Self::PlanetSpeed,
        Self::ShaftSpeed,
        Self::OpenSlip,
        Self::RollingPower,
        Self::BranchPower,
        Self::Nests,
        Self::OuterDiameter,
    ];

    /// Those of a reduction, in the order of tables.
    pub const REDUCTION: [Self; 15] = [
        Self::RatioError,
        Self::OuterDiameter,
        Self::Length,
        Self::PartCount,
        Self::Efficiency,
        Self::BackEfficiency,
        Self::Sets,
        Self::DifferentGears,
        Self::Price,
        Self::Safety,
        Self::PlanetSpeed,
        Self::ShaftSpeed,
        Self::RollingPower,
        Self::BranchPower,
        Self::Nests,
    ];

    /// `(name, unit, better, meaning)`; the name is the key in briefs and the column in
    /// tables.
    pub fn about(self) -> (&'static str, &'static str, Better, &'static str) {
        use Better::{Higher, Lower};
        match self {
            Self::Spread => ("spread", "", Higher, "first forward ratio / last forward ratio"),
            Self::StepDeviation => (
                "step_deviation",
                "ln",
                Lower,
                "largest |ln step − ln wanted step| over the forward gears",
            ),
            Self::ElementCount => ("element_count", "", Lower, "sets + shift elements"),
            Self::ShiftElements => ("shift_elements", "", Lower, "brakes + clutches"),
            Self::Sets => ("sets", "", Lower, "planetary gear sets"),
            Self::SwapsPerShift => (
                "swaps_per_shift",
                "",
                Lower,
                "elements applied at a shift to the next forward gear, mean",
            ),
            Self::OpenElements => {
                ("open_elements", "", Lower, "shift elements open in a gear, mean")
            }
            Self::ReverseToFirst => {
                ("reverse_to_first", "", Higher, "|reverse ratio| / first ratio, the first reverse")
            }
            Self::DirectGears => ("direct_gears", "", Higher, "forward gears of ratio exactly 1"),
            Self::GearsAfterFault => (
                "gears_after_fault",
                "",
                Higher,
                "forward gears left when the element that costs most of them cannot engage",
            ),
            Self::WorstEfficiency => {
                ("worst_efficiency", "", Higher, "least efficiency over all gears")
            }
            Self::MeanEfficiency => {
                ("mean_efficiency", "", Higher, "mean efficiency of the forward gears")
            }
            Self::BackEfficiency => (
                "back_efficiency",
                "",
                Higher,
                "least efficiency over all gears with the output driving, 0 where it cannot",
            ),
            Self::ElementTorque => (
                "element_torque",
                "× input",
                Lower,
                "largest element torque / input torque over all gears",
            ),
            Self::PlanetSpeed => (
                "planet_speed",
                "× input",
                Lower,
                "largest planet speed about its pin / input speed over all gears",
            ),
            Self::ShaftSpeed => (
                "shaft_speed",
                "× input",
                Lower,
                "largest speed of a shaft / input speed over all gears",
            ),
            Self::OpenSlip => (
                "open_slip",
                "× input",
                Lower,
                "largest slip of an open element / input speed over all gears",
            ),
            Self::RollingPower => (
                "rolling_power",
                "× input",
                Lower,
                "largest sum of rolling powers / input power over all gears",
            ),
            Self::BranchPower => (
                "branch_power",
                "× input",
                Lower,
                "largest power of a member or a clutch / input power; above 1 power circulates",
            ),
            Self::Nests => (
                "nests",
                "0/1",
                Higher,
                "1 when the layout passes the nesting test (necessary, not sufficient)",
            ),
            Self::OuterDiameter => (
                "outer_diameter",
                "mm",
                Lower,
                "largest ring outside diameter at the module of the brief",
            ),
            Self::RatioError => {
                ("ratio_error", "%", Lower, "|ratio / wanted ratio − 1|, in per cent")
            }
            Self::Efficiency => {
                ("efficiency", "", Higher, "output power / input power, 0 where it locks itself")
            }
            Self::Length => {
                ("length", "mm", Lower, "face widths, carrier plates and gaps along the axis")
            }
            Self::PartCount => {
                ("part_count", "", Lower, "wheels, carrier plates, planet pins and ring bodies")
            }
            Self::DifferentGears => {
                ("different_gears", "", Lower, "wheels that differ in kind, teeth, module or shift")
            }
            Self::Safety => (
                "safety",
                "",
                Higher,
                "least allowable over stress of teeth, pins, shafts, hubs and plates as built",
            ),
            Self::Price => ("price", "", Lower, "sum of the prices in the stock list"),
        }
    }

    pub fn name(self) -> &'static str {
        self.about().0
    }

    pub fn better(self) -> Better {
        self.about().2
    }

    /// The criterion with this name in briefs.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|criterion| criterion.name() == name)
    }

    /// The criterion of a reduction with this name in briefs.
    pub fn of_reduction(name: &str) -> Option<Self> {
        Self::REDUCTION.into_iter().find(|criterion| criterion.name() == name)
    }
}
