//! Keys of the mould in which a part is cast.

use crate::keys::casting_process_keys::{
    CAVITIES, COPIES, CURE, FACTORS, POUR, PRIMER, RESIN, RUBBER, SCALE_STEP, SILICONE, SLICES, TILT, VACUUM, VESSEL,
};
use crate::keys::key::{ChoiceKey, TableKey, WhenAbsent, choice, optional_table};
use crate::values::casting::Parting;

pub(crate) static CASTING: TableKey = optional_table(
    "casting",
    "Casting of the part in a silicone mould; used only together with material.final",
    &[
        &PARTING,
        &CAVITIES,
        &SLICES,
        &COPIES,
        &PRIMER,
        &SILICONE,
        &RUBBER,
        &RESIN,
        &CURE,
        &POUR,
        &TILT,
        &FACTORS,
        &SCALE_STEP,
        &VESSEL,
        &VACUUM,
    ],
);
pub(crate) static PARTING: ChoiceKey<Parting> = choice(
    "parting",
    "Parting of the mould",
    &[
        (
            "end",
            Parting::End,
            "two halves that part at the lower end: mount and clip are flush there, and draft runs one way over the full length",
        ),
        ("cut", Parting::Cut, "one block that is cut open by knife, without draft"),
        ("middle", Parting::Middle, "two halves that part in the middle, as without this table"),
    ],
    WhenAbsent::Optional("\"end\" for one clip on a straight body without pitch, stop and windows, otherwise \"cut\""),
);
