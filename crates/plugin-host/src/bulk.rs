//! Counts the true cost of long copies. In: a component's bytes. Out: bytes of a component that does the same, in which every
//! instruction that moves a range first does work in proportion to its length.
//!
//! Wasmtime counts `memory.fill` as one unit whether it fills four bytes or a gigabyte, so a loop of them would run for days
//! within any limit of work. A clock would stop it, but not at the same place on every machine. So a function is added to each
//! core module that uses such instructions. It runs a short loop once for every 64 bytes or 8 table elements, which is about
//! the cost of the copy itself. Growing memory, which is slow even by 0 pages, costs 16 turns.

use wasm_encoder::reencode::{Error, Reencode, utils};
use wasm_encoder::{
    BlockType, CodeSection, Component, Function, FunctionSection, Instruction, Module,
    ModuleSection, RawSection, TypeSection, ValType,
};
use wasmparser::{
    BinaryReaderError, CodeSectionReader, CustomSectionReader, FunctionBody, FunctionSectionReader,
    Operator, Parser, Payload, TypeRef, TypeSectionReader,
};

/// Bytes per turn of the loop (eight units), as a shift: 64.
const BYTES_SHIFT: i32 = 6;
/// Table elements per turn, as a shift: 8. An element is 8 bytes and may have to be made first.
const ELEMENTS_SHIFT: i32 = 3;

/// Turns for growing memory or a table.
const GROWTH_TURNS: i32 = 16;

/// The cost of an instruction.
#[derive(Debug, Clone, Copy)]
enum Cost {
    /// The length on top of the stack, shifted by this, as turns.
    ByLength { shift: i32 },
    /// This many turns.
    Fixed { turns: i32 },
}

/// The component with its long copies counted.
///
/// # Errors
/// If it is malformed.
pub(crate) fn counted(bytes: &[u8]) -> Result<Vec<u8>, Error> {
    let mut component = Component::new();
    let mut depth = 0;
    for payload in Parser::new(0).parse_all(bytes) {
        let payload = payload?;
        match &payload {
            Payload::Version { .. } => depth += 1,
            Payload::End(_) => depth -= 1,
            _ if depth != 1 => {}
            Payload::ModuleSection {
                unchecked_range: range,
                ..
            } => {
                let module = inside(bytes, range)?;
                match Counter::of(module)? {
                    Some(mut counter) => {
                        let mut counted = Module::new();
                        counter.parse_core_module(&mut counted, Parser::new(0), module)?;
                        component.section(&ModuleSection(&counted));
                    }
                    None => {
                        component.section(&RawSection {
                            id: 1,
                            data: module,
                        });
                    }
                }
            }
            Payload::ComponentSection {
                unchecked_range: range,
                ..
            } => {
                component.section(&RawSection {
                    id: 4,
                    data: inside(bytes, range)?,
                });
            }
            section => {
                if let Some((id, range)) = section.as_section() {
                    component.section(&RawSection {
                        id,
                        data: inside(bytes, &range)?,
                    });
                }
            }
        }
    }
    Ok(component.finish())
}

fn inside<'a>(bytes: &'a [u8], range: &std::ops::Range<usize>) -> Result<&'a [u8], Error> {
    bytes
        .get(range.clone())
        .ok_or(Error::InvalidCodeSectionSize)
}

/// Adds the counting function to one module and calls of it.
struct Counter {
    /// The index of its type, the first free one.
    type_index: u32,
    /// Its own index, the first free one.
    function_index: u32,
}

impl Counter {
    /// The counter for a module; none if there is nothing to count.
    fn of(module: &[u8]) -> Result<Option<Self>, BinaryReaderError> {
        let (mut types, mut functions, mut costly) = (0, 0, false);
        for payload in Parser::new(0).parse_all(module) {
            match payload? {
                Payload::TypeSection(section) => {
                    for group in section {
                        types += count(group?.types().len());
                    }
                }
                Payload::ImportSection(section) => {
                    for import in section {
                        if matches!(import?.ty, TypeRef::Func(_)) {
                            functions += 1;
                        }
                    }
                }
                Payload::FunctionSection(section) => functions += section.count(),
                Payload::CodeSectionEntry(body) => {
                    for operator in body.get_operators_reader()? {
                        costly |= cost(&operator?).is_some();
                    }
                }
                _ => {}
            }
        }
        Ok(costly.then_some(Self {
            type_index: types,
            function_index: functions,
        }))
    }
}

fn count(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

/// What an instruction costs in addition to its one unit.
fn cost(operator: &Operator<'_>) -> Option<Cost> {
    match operator {
        Operator::MemoryCopy { .. } | Operator::MemoryFill { .. } | Operator::MemoryInit { .. } => {
            Some(Cost::ByLength { shift: BYTES_SHIFT })
        }
        Operator::TableCopy { .. } | Operator::TableFill { .. } | Operator::TableInit { .. } => {
            Some(Cost::ByLength {
                shift: ELEMENTS_SHIFT,
            })
        }
        Operator::MemoryGrow { .. } | Operator::TableGrow { .. } => Some(Cost::Fixed {
            turns: GROWTH_TURNS,
        }),
        _ => None,
    }
}

impl Reencode for Counter {
    type Error = std::convert::Infallible;

    fn parse_type_section(
        &mut self,
        types: &mut TypeSection,
        section: TypeSectionReader<'_>,
    ) -> Result<(), Error> {
        utils::parse_type_section(self, types, section)?;
        types
            .ty()
            .function([ValType::I32, ValType::I32], [ValType::I32]);
        Ok(())
    }

    fn parse_function_section(
        &mut self,
        functions: &mut FunctionSection,
        section: FunctionSectionReader<'_>,
    ) -> Result<(), Error> {
        utils::parse_function_section(self, functions, section)?;
        functions.function(self.type_index);
        Ok(())
    }

    fn parse_code_section(
        &mut self,
        code: &mut CodeSection,
        section: CodeSectionReader<'_>,
    ) -> Result<(), Error> {
        utils::parse_code_section(self, code, section)?;
        code.function(&counting_function());
        Ok(())
    }

    fn parse_function_body(
        &mut self,
        code: &mut CodeSection,
        body: FunctionBody<'_>,
    ) -> Result<(), Error> {
        let mut function = self.new_function_with_parsed_locals(&body)?;
        for operator in body.get_operators_reader()? {
            let operator = operator?;
            match cost(&operator) {
                Some(Cost::ByLength { shift }) => {
                    function.instruction(&Instruction::I32Const(shift));
                    function.instruction(&Instruction::Call(self.function_index));
                }
                Some(Cost::Fixed { turns }) => {
                    function.instruction(&Instruction::I32Const(turns));
                    function.instruction(&Instruction::I32Const(0));
                    function.instruction(&Instruction::Call(self.function_index));
                    function.instruction(&Instruction::Drop);
                }
                None => {}
            }
            function.instruction(&self.instruction(operator)?);
        }
        code.function(&function);
        Ok(())
    }

    /// Names of functions and compiler notes, which nothing reads.
    fn parse_custom_section(
        &mut self,
        _: &mut Module,
        _: CustomSectionReader<'_>,
    ) -> Result<(), Error> {
        Ok(())
    }
}

/// `(length, shift) → length`, after `length >> shift` turns of a loop of eight units.
fn counting_function() -> Function {
    let (length, left) = (0, 1);
    let mut function = Function::new([]);
    for instruction in [
        Instruction::LocalGet(length),
        Instruction::LocalGet(left),
        Instruction::I32ShrU,
        Instruction::LocalSet(left),
        Instruction::Block(BlockType::Empty),
        Instruction::Loop(BlockType::Empty),
        Instruction::LocalGet(left),
        Instruction::I32Eqz,
        Instruction::BrIf(1),
        Instruction::LocalGet(left),
        Instruction::I32Const(1),
        Instruction::I32Sub,
        Instruction::LocalSet(left),
        Instruction::Br(0),
        Instruction::End,
        Instruction::End,
        Instruction::LocalGet(length),
        Instruction::End,
    ] {
        function.instruction(&instruction);
    }
    function
}
