//! A component, compiled and ready to be called under limits. In: bytes. Out: [`Machine`], which makes a fresh instance for
//! every call.
//!
//! Same bytes in, same bytes out, whatever the machine and the number of threads: work is counted and not timed, there are no
//! threads, no relaxed SIMD, no imports, and nothing lives longer than its call. Two things depend on the processor: how deep
//! the stack can grow, and, in a finish, which bit pattern of NaN an operation gives. A finish works on every pixel of every
//! scheme, and making those patterns equal would take a third longer; no NaN leaves a call anyway.

use std::sync::Arc;

use wasmtime::component::{Component, InstancePre, Linker};
use wasmtime::{Config, Engine, Store};

use crate::bulk::counted;
use crate::fault::Fault;
use crate::limits::{Handed, Limits};
use crate::meter::Meter;
use crate::outline::World;
use crate::pool::{self, Gate, Turn};
use crate::words::one_line;

/// A compiled component.
#[derive(Clone)]
pub(crate) struct Machine {
    engine: Engine,
    instance: InstancePre<Meter>,
    /// Shared by all callers of this component: the pool has this many places.
    gate: Arc<Gate>,
    limits: Limits,
}

/// An instance's store, and the pool place it occupies until it is dropped.
struct Running<'a> {
    store: Store<Meter>,
    // Dropped last.
    _turn: Turn<'a>,
}

/// The generated bindings of one interface: how to look its functions up, and the type of its instances.
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
    /// If its start function was stopped, or a function is of another type.
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
        // Memory access is checked by instructions, not by the machine's memory protection: setting that up for every call
        // makes all threads wait, and costs more than the checks.
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
    /// They are not a valid component, or the component has imports.
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
        // If the system lacks addresses for a pool, or the component does not fit into it, memory grows on request.
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
    /// If they are missing or of other types, or its start function was stopped.
    pub(crate) fn typed<P: Typed>(&self) -> Result<P, Fault> {
        let pre = P::look_up(self.instance.clone()).map_err(|error| other_types(&error))?;
        self.instance(Handed::Nothing, &pre)?;
        Ok(pre)
    }

    /// A new instance, and the store that counts what it uses.
    fn instance<P: Typed>(
        &self,
        handed: Handed,
        pre: &P,
    ) -> Result<(Running<'_>, P::Instance), Fault> {
        let turn = self.gate.enter();
        let mut store = Store::new(&self.engine, Meter::new(&self.limits, handed));
        store.limiter(|meter| meter);
        store
            .set_fuel(self.limits.work(handed))
            .expect("the engine was made to count work");
        match pre.instance(&mut store) {
            Ok(instance) => Ok((Running { store, _turn: turn }, instance)),
            // Nothing has been passed yet, so only functions of other types remain as a cause.
            Err(error) => Err(match Fault::of_call(&error, &self.limits, handed) {
                Fault::Passing { .. } => other_types(&error),
                fault => fault,
            }),
        }
    }

    /// One call under limits, of a new instance.
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
