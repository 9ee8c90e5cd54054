//! A component, compiled and ready to be called under limits. In: bytes. Out: [`Machine`], which makes a fresh instance for
//! every call.
//!
//! Same bytes in, same bytes out, whatever the machine and the number of threads: work is counted and not timed, there are no
//! threads, no relaxed SIMD, no imports, and nothing lives longer than its call. Two things are the processor's: how deep the
//! stack goes, and, in a finish, which of NaN's patterns an operation gives. A finish works on every pixel of every scheme, and to
//! make those patterns alike would take it a third longer; a NaN itself gets out of none.

use std::sync::Arc;

use wasmtime::component::{Component, InstancePre, Linker};
use wasmtime::{Config, Engine, Store};

use crate::bulk::counted;
use crate::fault::Fault;
use crate::limits::{Handed, Limits};
use crate::meter::Meter;
use crate::outline::World;
use crate::pool::{self, Gate, Place};
use crate::words::one_line;

/// A compiled component.
#[derive(Clone)]
pub(crate) struct Machine {
    engine: Engine,
    instance: InstancePre<Meter>,
    /// One for all that call this component: the pool has so many places.
    gate: Arc<Gate>,
    limits: Limits,
}

/// An instance's store, and the place that it takes until it is gone.
struct Running<'a> {
    store: Store<Meter>,
    // Dropped last.
    _place: Place<'a>,
}

/// The generated bindings of one interface: what looks its functions up, and what instances it makes.
pub(crate) trait Typed: Sized {
    /// An instance whose functions have been looked up.
    type Instance;

    /// Looks the functions up.
    ///
    /// # Errors
    /// One is missing.
    fn look_up(instance: InstancePre<Meter>) -> wasmtime::Result<Self>;

    /// Makes an instance.
    ///
    /// # Errors
    /// Its start function was stopped, or a function is of another type.
    fn instance(&self, store: &mut Store<Meter>) -> wasmtime::Result<Self::Instance>;
}

/// The bindings of a world, as the macro generates them.
macro_rules! typed {
    ($pre:ident, $instance:ident) => {
        impl crate::engine::Typed for $pre<crate::meter::Meter> {
            type Instance = $instance;

            fn look_up(
                instance: wasmtime::component::InstancePre<crate::meter::Meter>,
            ) -> wasmtime::Result<Self> {
                Self::new(instance)
            }

            fn instance(
                &self,
                store: &mut wasmtime::Store<crate::meter::Meter>,
            ) -> wasmtime::Result<$instance> {
                self.instantiate(store)
            }
        }
    };
}
pub(crate) use typed;

fn other_types(error: &wasmtime::Error) -> Fault {
    Fault::OtherTypes {
        what: one_line(&error.root_cause().to_string(), 200),
    }
}

fn config(world: World, limits: &Limits) -> Config {
    let mut config = Config::new();
    config
        .consume_fuel(true)
        .cranelift_nan_canonicalization(world != World::Finish)
        .wasm_relaxed_simd(false)
        .wasm_memory64(false)
        .max_wasm_stack(limits.stack_bytes)
        // Reading and writing is checked by instructions, not by the machine's memory protection: setting that up again for every
        // call, which all threads then wait for, costs more than the checks do.
        .signals_based_traps(false)
        .memory_guard_size(0)
        // Where in the component it stopped does not help a painter.
        .wasm_backtrace(false)
        .generate_address_map(false);
    config
}

impl Machine {
    /// Compiles `bytes`, a component of this world.
    ///
    /// # Errors
    /// They are no sound component, or it wants imports.
    pub(crate) fn new(bytes: &[u8], world: World, limits: &Limits) -> Result<Self, Fault> {
        let damaged = |error: wasmtime::Error| Fault::Malformed {
            what: one_line(&error.root_cause().to_string(), 200),
        };
        let counted = counted(bytes).map_err(|error| Fault::Malformed {
            what: one_line(&error.to_string(), 200),
        })?;
        let places = pool::places();
        let compiled = |config: &Config| {
            let engine = Engine::new(config)?;
            let component = Component::new(&engine, &counted)?;
            let instance = Linker::new(&engine).instantiate_pre(&component)?;
            wasmtime::Result::Ok((engine, instance))
        };
        let mut pooled = config(world, limits);
        pooled.allocation_strategy(pool::strategy(limits, places));
        // Where the system has not the addresses for a pool, or the component is not made as one has it, memory grows as it
        // is asked for.
        let mut unpooled = config(world, limits);
        unpooled
            .memory_reservation(0)
            .memory_reservation_for_growth(1 << 20);
        let (engine, instance) = compiled(&pooled)
            .or_else(|_| compiled(&unpooled))
            .map_err(damaged)?;
        Ok(Self {
            engine,
            instance,
            gate: Arc::new(Gate::new(places)),
            limits: limits.clone(),
        })
    }

    /// The component with the functions of one interface looked up and their types checked, which takes an instance.
    ///
    /// # Errors
    /// They are missing or of other types; its start function was stopped.
    pub(crate) fn typed<P: Typed>(&self) -> Result<P, Fault> {
        let pre = P::look_up(self.instance.clone()).map_err(|error| other_types(&error))?;
        self.instance(Handed::Nothing, &pre)?;
        Ok(pre)
    }

    /// A fresh instance, and the store that counts what it uses up.
    fn instance<P: Typed>(
        &self,
        handed: Handed,
        pre: &P,
    ) -> Result<(Running<'_>, P::Instance), Fault> {
        let place = self.gate.enter();
        let mut store = Store::new(&self.engine, Meter::new(&self.limits, handed));
        store.limiter(|meter| meter);
        store
            .set_fuel(self.limits.work(handed))
            .expect("the engine was made to count work");
        match pre.instance(&mut store) {
            Ok(instance) => Ok((
                Running {
                    store,
                    _place: place,
                },
                instance,
            )),
            // Nothing has been passed yet, so what is left are functions of other types.
            Err(error) => Err(match Fault::of_call(&error, &self.limits, handed) {
                Fault::Passing { .. } => other_types(&error),
                fault => fault,
            }),
        }
    }

    /// One call under limits, of a fresh instance.
    ///
    /// # Errors
    /// Whatever stopped it.
    pub(crate) fn call<P: Typed, T>(
        &self,
        pre: &P,
        handed: Handed,
        call: impl FnOnce(&P::Instance, &mut Store<Meter>) -> wasmtime::Result<T>,
    ) -> Result<T, Fault> {
        let (mut running, instance) = self.instance(handed, pre)?;
        call(&instance, &mut running.store)
            .map_err(|error| Fault::of_call(&error, &self.limits, handed))
    }

    /// Like [`Machine::call`], for a function that returns its own error sentence.
    ///
    /// # Errors
    /// Whatever stopped it, or its own sentence.
    pub(crate) fn call_that_may_refuse<P: Typed, T>(
        &self,
        pre: &P,
        handed: Handed,
        call: impl FnOnce(&P::Instance, &mut Store<Meter>) -> wasmtime::Result<Result<T, String>>,
    ) -> Result<T, Fault> {
        self.call(pre, handed, call)?.map_err(|sentence| {
            let sentence = one_line(&sentence, self.limits.sentence_chars);
            Fault::Own {
                sentence: if sentence.is_empty() {
                    "(no reason)".to_owned()
                } else {
                    sentence
                },
            }
        })
    }

    /// The limits that its calls run under.
    pub(crate) fn limits(&self) -> &Limits {
        &self.limits
    }
}
