"""The reviewer's edition of the calculation: finished rows on a few pages."""
