//! Undo and redo: whole projects, each with the name of the change that followed it.

use crate::project::Project;

/// The most steps that can be undone. A project is a few pointers, but old photos stay in memory as long as a step holds them.
const MOST_STEPS: usize = 200;

/// Earlier and later projects.
#[derive(Debug, Default)]
pub(crate) struct History {
    past: Vec<(String, Project)>,
    future: Vec<(String, Project)>,
}

impl History {
    /// Keeps the project before a change.
    pub(crate) fn changed(&mut self, what: String, before: Project) {
        self.future.clear();
        self.past.push((what, before));
        if self.past.len() > MOST_STEPS {
            self.past.remove(0);
        }
    }

    /// The project before the last change; `now` can be had again with [`History::redo`].
    pub(crate) fn undo(&mut self, now: Project) -> Result<Project, Project> {
        match self.past.pop() {
            Some((what, before)) => {
                self.future.push((what, now));
                Ok(before)
            }
            None => Err(now),
        }
    }

    /// The project after the change that was undone last.
    pub(crate) fn redo(&mut self, now: Project) -> Result<Project, Project> {
        match self.future.pop() {
            Some((what, after)) => {
                self.past.push((what, now));
                Ok(after)
            }
            None => Err(now),
        }
    }

    /// The change that undo would take back.
    pub(crate) fn next_undo(&self) -> Option<String> {
        self.past.last().map(|(what, _)| what.clone())
    }

    /// The change that redo would make again.
    pub(crate) fn next_redo(&self) -> Option<String> {
        self.future.last().map(|(what, _)| what.clone())
    }
}
