//! Devices: which adapters there are, an open device, and row bands through it. Without the feature `gpu` there is none.

mod report;
mod scheme;

#[cfg(feature = "gpu")]
mod adapters;
#[cfg(feature = "gpu")]
mod device;
#[cfg(not(feature = "gpu"))]
mod off;
#[cfg(all(feature = "gpu", feature = "cases"))]
mod once;
#[cfg(feature = "gpu")]
mod stream;

pub use report::{AdapterKind, AdapterReport};
pub(crate) use scheme::{DeviceScheme, TABLE_BUDGET_BYTES};

#[cfg(feature = "gpu")]
pub use adapters::adapters;
#[cfg(feature = "gpu")]
pub use device::Gpu;
#[cfg(all(feature = "gpu", feature = "cases"))]
pub use device::InjectedFault;
#[cfg(not(feature = "gpu"))]
pub(crate) use off::Stream;
#[cfg(not(feature = "gpu"))]
pub use off::{Gpu, adapters};
#[cfg(feature = "gpu")]
pub(crate) use stream::Stream;
