"""Photovoltaic source and output circuits."""
