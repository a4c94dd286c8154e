"""The book file: tables, journal, migrations. Only this package knows the database."""
