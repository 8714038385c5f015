"""The shop's file: tables, migrations, events never changed, photographs, backups, export and import."""
