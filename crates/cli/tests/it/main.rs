//! The command, run as its users run it.

#[cfg(unix)]
mod broken_off;
mod colours;
mod deciding;
mod desk;
mod files;
mod hostile_files;
mod import;
mod joined_paints;
mod json_errors;
mod kept_parts;
mod many;
mod messages;
mod new_command;
mod newcomer;
mod old_previews;
mod pair;
mod plain_words;
#[cfg(feature = "plugins")]
mod plugins_command;
mod regions_command;
mod shell_files;
mod swatch;
mod teams;
mod threads;
