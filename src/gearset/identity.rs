//! The identities of members, gears, meshes and controls: positions in the lists of one gearset.

use serde::{Serialize, Serializer};

macro_rules! identity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name(pub(super) usize);

        impl $name {
            /// The name under which an identity is handed to a serializer, as a newtype around its position.
            pub const SERIALIZED_AS: &'static str = concat!("gearset::", stringify!($name));

            /// The position in the gearset's list, from 0.
            pub fn index(self) -> usize {
                self.0
            }
        }

        /// The position inside a newtype of the name `SERIALIZED_AS`, for a serializer that knows the gearset.
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_newtype_struct(Self::SERIALIZED_AS, &self.0)
            }
        }
    };
}

identity!(
    /// A member of one gearset: the case is number 0, then come the members of the main
    /// axis, then the planets, each in the order of the description.
    MemberId
);
identity!(
    /// A gear of one gearset.
    GearId
);
identity!(
    /// A mesh of one gearset.
    MeshId
);
identity!(
    /// A control of one gearset.
    ControlId
);

impl MemberId {
    /// The fixed housing.
    pub const CASE: Self = Self(0);
}
