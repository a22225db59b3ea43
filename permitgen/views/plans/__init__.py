"""What the plans to scale show: site, roof, elevations, storage, attachments. Points in feet as in the project file, words finished."""
