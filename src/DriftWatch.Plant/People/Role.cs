namespace DriftWatch.Plant.People;

/// <summary>What someone may do. Each role may do all that those before it may.</summary>
public enum Role
{
    /// <summary>Reads.</summary>
    Viewer,

    /// <summary>Acts on alarms, tells of work done.</summary>
    Technician,

    /// <summary>Changes what the register says.</summary>
    Engineer,

    /// <summary>Looks after the people and reads what they did.</summary>
    Administrator,
}
