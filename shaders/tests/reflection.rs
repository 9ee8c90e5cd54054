//! The WGSL texts match their `mod.rs`: bindings, struct layouts, constants, workgroups. Needs no device.

#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    clippy::print_stdout,
    reason = "everything here is a test: it may fail loudly and prints its figures"
)]

use naga::{AddressSpace, Expression, Literal, Module, ShaderStage, TypeInner};
use velatura_shaders::kernel::{Binding, KERNELS, Kernel};
use velatura_shaders::{apply, downscale, finish, render, view};

fn module(kernel: &Kernel, text: &str) -> Module {
    let module = naga::front::wgsl::parse_str(text)
        .unwrap_or_else(|error| panic!("{}", error.emit_to_string(text)));
    let mut validator = naga::valid::Validator::new(
        naga::valid::ValidationFlags::all(),
        naga::valid::Capabilities::empty(),
    );
    validator
        .validate(&module)
        .unwrap_or_else(|error| panic!("{}: {error:?}", kernel.name));
    module
}

/// The bindings of a text, by number.
fn bindings(module: &Module) -> Vec<Binding> {
    let mut found: Vec<(u32, Binding)> = module
        .global_variables
        .iter()
        .filter_map(|(_, variable)| {
            let place = variable.binding?;
            assert_eq!(place.group, 0);
            let bytes = |inner: &TypeInner| match inner {
                TypeInner::Array { stride, .. } => *stride as usize,
                other => other.size(module.to_ctx()) as usize,
            };
            let bytes = bytes(&module.types[variable.ty].inner);
            let binding = match variable.space {
                AddressSpace::Uniform => Binding::Uniform(bytes),
                AddressSpace::Storage { access } if access.contains(naga::StorageAccess::STORE) => {
                    Binding::Write(bytes)
                }
                AddressSpace::Storage { .. } => Binding::Read(bytes),
                other => panic!("nothing is bound in {other:?}"),
            };
            Some((place.binding, binding))
        })
        .collect();
    found.sort_by_key(|(number, _)| *number);
    for (index, (number, _)) in found.iter().enumerate() {
        assert_eq!(
            index, *number as usize,
            "bindings are numbered without gaps"
        );
    }
    found.into_iter().map(|(_, binding)| binding).collect()
}

fn constants(module: &Module) -> Vec<(String, f32)> {
    module
        .constants
        .iter()
        .filter_map(
            |(_, constant)| match module.global_expressions[constant.init] {
                Expression::Literal(Literal::F32(number)) => {
                    Some((constant.name.clone().unwrap_or_default(), number))
                }
                _ => None,
            },
        )
        .collect()
}

#[test]
fn every_text_is_bound_as_its_folder_says() {
    for kernel in KERNELS {
        let module = module(&kernel, kernel.text);
        assert_eq!(bindings(&module), kernel.bindings, "{}", kernel.name);
        assert_eq!(module.entry_points.len(), 1, "{}", kernel.name);
        let entry = &module.entry_points[0];
        assert_eq!(entry.name, kernel.name);
        assert_eq!(entry.stage, ShaderStage::Compute);
        assert_eq!(entry.workgroup_size, [kernel.workgroup, 1, 1]);
        let found: Vec<(String, u32)> = constants(&module)
            .into_iter()
            .map(|(name, number)| (name, number.to_bits()))
            .collect();
        let owned: Vec<(String, u32)> = kernel
            .constants
            .iter()
            .map(|(name, number)| ((*name).to_owned(), number.to_bits()))
            .collect();
        assert_eq!(found, owned, "{}", kernel.name);
    }
    // Must fail: a list of other elements, a list that is written instead of read, a constant moved.
    let changed = |from: &str, to: &str| {
        assert!(render::KERNEL.text.contains(from), "{from}");
        module(&render::KERNEL, &render::KERNEL.text.replacen(from, to, 1))
    };
    for (from, to) in [
        ("    bounce: f32,", "    bounce: f32,\n    more: vec4f,"),
        ("<storage, read> encode", "<storage, read_write> encode"),
    ] {
        assert_ne!(bindings(&changed(from, to)), render::KERNEL.bindings);
    }
    let moved = changed("SHEEN_FROM: f32 = 0.6", "SHEEN_FROM: f32 = 0.61");
    assert_ne!(
        constants(&moved)[1].1.to_bits(),
        finish::SHEEN_FROM.to_bits()
    );
}

/// Byte offset and kind of each member of a struct of the text.
fn members(module: &Module, name: &str) -> Vec<(String, usize)> {
    let (_, found) = module
        .types
        .iter()
        .find(|(_, one)| one.name.as_deref() == Some(name))
        .unwrap_or_else(|| panic!("no struct {name}"));
    let TypeInner::Struct { members, .. } = &found.inner else {
        panic!("{name} is no struct");
    };
    members
        .iter()
        .map(|member| {
            (
                member.name.clone().unwrap_or_default(),
                member.offset as usize,
            )
        })
        .collect()
}

/// The same of a Rust struct.
macro_rules! offsets {
    ($type:ty: $($member:ident),+) => {
        vec![$((stringify!($member).to_owned(), std::mem::offset_of!($type, $member))),+]
    };
}

#[test]
fn structs_lie_in_memory_as_the_texts_read_them() {
    let layout = |kernel: &Kernel, name: &str| members(&module(kernel, kernel.text), name);
    let applied = layout(&apply::KERNEL, "Params");
    assert_eq!(
        applied,
        offsets!(apply::Params: pixels, schemes, heads, light_unit)
    );
    let place = layout(&render::KERNEL, "TableHead");
    let expected = offsets!(apply::TableHead: kind, first, substrate_scale, substrate_last, columns, relief_scale, relief_last, bounce);
    assert_eq!(place, expected);
    let finished = layout(&render::KERNEL, "Finish");
    let expected = offsets!(finish::Params: matrix, deepening, sheen, changes, unused);
    assert_eq!(finished, expected);
    let rendered = layout(&render::KERNEL, "Params");
    let expected = offsets!(render::Params: quads, schemes, heads, light_unit);
    assert_eq!(rendered, expected);
    let downscaled = layout(&downscale::KERNEL, "Params");
    let expected = offsets!(downscale::Params: width, factor, smaller_width, smaller_pixels);
    assert_eq!(downscaled, expected);
    let viewed = layout(&view::KERNEL, "Params");
    let expected = offsets!(view::Params: seen, lines, taps, line_step, along_step, seen_line_step, seen_along_step, unused);
    assert_eq!(viewed, expected);
    // Must fail: a member that is elsewhere.
    let text = render::KERNEL.text;
    let text = text.replacen("    kind: u32,\n", "", 1);
    let text = text.replacen(
        "    bounce: f32,\n",
        "    bounce: f32,\n    kind: u32,\n",
        1,
    );
    let moved = members(&module(&render::KERNEL, &text), "TableHead");
    assert_ne!(moved, place);
}

#[test]
fn every_index_is_counted_from_the_invocation_and_guarded() {
    // Our rule: an invocation beyond the last one returns before it reads or writes anything.
    let unguarded = |text: &str| {
        let module = naga::front::wgsl::parse_str(text).unwrap();
        !module.entry_points[0]
            .function
            .body
            .iter()
            .any(|statement| match statement {
                naga::Statement::If { accept, .. } => accept
                    .iter()
                    .any(|inner| matches!(inner, naga::Statement::Return { .. })),
                _ => false,
            })
    };
    for kernel in KERNELS {
        assert!(!unguarded(kernel.text), "{}", kernel.name);
    }
    // Must fail: the guard taken out.
    let text = view::KERNEL.text.replace("        return;\n", "");
    assert!(unguarded(&text));
}
