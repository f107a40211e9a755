"""Where is it kept: the journal file, backups, reading and writing files."""
